// Random motors for the measuring statistics: any of the styles' releases, wiring, supply and temperature, with what a
// profile could honestly tell of them. Drawn as plain numbers, so that the truth is known.

import { readFileSync } from 'node:fs';
import { parse } from 'yaml';
import { seededRandom } from '../../host/circuit/index.js';
import type { FitMotorOptions } from '../../host/measure/index.js';
import {
  caseSchema,
  circuitStyleSchema,
  loadUnit,
  type ResolvedUnit,
  type VirtualCase,
} from '../../host/profile/index.js';

export interface RandomMotor {
  unit: ResolvedUnit;
  virtualCase: VirtualCase;
  seed: number;
  /** What the fit is told beforehand, good to the uncertainties that it states for such words. */
  told: FitMotorOptions;
}

/** Coast, and brake to either rail, by switch and by relays. */
const STYLES = [
  'switch-carried-open-rest',
  'switch-carried-grounded-rest',
  'relay-pair-ground-thrown',
  'relay-pair-rests-high',
  'relay-pair-positive-thrown',
] as const;
/** Deviations of what is told: the ambient of the bench, kt over ke, the drop of the brushes. */
const AMBIENT_C = 3;
const RATIO = 0.01;
const DROP_V = 0.15;
const SUPPLY_V = [11.8, 14.2] as const;
/** Ripple beyond this is too near half the sampling rate of 5 kHz for straight lines between samples. */
const HIGHEST_RIPPLE_HZ = 1500;

const styleUnits = new Map<string, ResolvedUnit>();

/** A unit of the style, relays included; its motor is drawn afterwards. */
function unitOf(style: string): ResolvedUnit {
  const known = styleUnits.get(style);
  if (known) return known;
  const text = readFileSync(new URL(`../../profiles/circuits/${style}.yaml`, import.meta.url), 'utf8');
  const unit = { ...loadUnit('entry-step-relays'), style: circuitStyleSchema.parse(parse(text)) };
  styleUnits.set(style, unit);
  return unit;
}

/** The motor `index` of the series `seed`; the same whenever it is asked for. */
export function randomMotor(seed: number, index: number): RandomMotor {
  const random = seededRandom(seed + 7919 * index);
  const between = (low: number, high: number): number => low + (high - low) * random.uniform();
  const spread = (low: number, high: number): number => low * (high / low) ** random.uniform();
  const base = unitOf(STYLES[index % STYLES.length]!);
  for (;;) {
    const resistanceOhm = spread(0.5, 2.5);
    const backEmfVsPerRad = spread(0.016, 0.045);
    const toldRatio = between(0.92, 1);
    const torqueNmPerA = backEmfVsPerRad * toldRatio * (1 + RATIO * random.normal());
    const runA = between(0.1, 0.3) * (13 / resistanceOhm);
    const toldDropV = between(0.3, 0.6);
    const brushDropV = Math.max(0.02, toldDropV + DROP_V * random.normal());
    const speedRadS = (12.5 - brushDropV - runA * (resistanceOhm + 0.15)) / backEmfVsPerRad;
    // A rectified sine of N segments swings by 1 - cos(pi / N) of its peak, half of that either way; some a little more.
    const segments = 2 * Math.floor(between(4, 8));
    const coulombPart = between(0.3, 0.8);
    const runNm = runA * torqueNmPerA;
    const tauS = between(0.015, 0.045);
    const motor = {
      ...base.motor,
      resistanceOhm,
      inductanceH: resistanceOhm * spread(0.0006, 0.002),
      backEmfVsPerRad,
      torqueNmPerA,
      inertiaKgM2: (tauS * backEmfVsPerRad * torqueNmPerA) / (resistanceOhm + 0.15),
      viscousNms: ((1 - coulombPart) * runNm) / speedRadS,
      coulombNm: coulombPart * runNm,
      brushDropV,
      ripple: { segments, amplitude: between(0.8, 1.5) * ((1 - Math.cos(Math.PI / segments)) / 2) },
    };
    const temperatureC = 22 + AMBIENT_C * random.normal();
    const supply = { voltageV: between(...SUPPLY_V), sourceResistanceOhm: between(0.02, 0.08) };
    const wiring = { lengthM: between(1, 4), areaMm2: [1, 1.5, 2.5][Math.floor(between(0, 3))]! };
    if (runA < 0.8 || (speedRadS * segments) / (2 * Math.PI) > HIGHEST_RIPPLE_HZ) continue;
    return {
      unit: { ...base, motor, unit: { ...base.unit, wiring } },
      virtualCase: caseSchema.parse({
        id: 'random',
        title: 'Random motor',
        kind: 'case',
        seed,
        supply,
        temperatureC,
      }),
      seed: seed + 104729 * index + 1,
      told: {
        rig: base.rig,
        motor: { segments, brushDropV: toldDropV, torqueRatio: toldRatio },
        temperatureC: 22,
        temperatureUncertaintyC: AMBIENT_C,
      },
    };
  }
}
