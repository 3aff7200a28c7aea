// Random units for the judging statistics: a profile of any style with any motor, healthy or with one hidden fault, on a
// bench of any temperature from 0 to 40 C and any supply from 11 to 14.5 V.

import { mkdtempSync, readdirSync, readFileSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import {
  clipFaultsOf,
  familyMotor,
  familyOf,
  familyPlace,
  faultsOf,
  isOnMechanism,
  nominalInput,
  rigFaultsOf,
  type SeededRandom,
} from '../../host/circuit/index.js';
import { hasLimits, type ResolvedUnit, type VirtualCase } from '../../host/profile/index.js';
import { withKnownMotor } from '../profile/known-unit.js';
import { plannedUnit } from '../profile/planned-unit.js';

const CIRCUITS = new URL('../../profiles/circuits/', import.meta.url);

export interface RandomUnit {
  unit: ResolvedUnit;
  /** Fault id, or `healthy`. */
  truth: string;
  virtualCase: VirtualCase;
  /** The case without the fault. */
  healthy?: VirtualCase;
  seed: number;
}

/** Whether the motor's numbers are a specification, or only usual ones of its family. */
export type Limits = 'known' | 'generic';

export const withLimits = (unit: ResolvedUnit, limits: Limits): ResolvedUnit =>
  limits === 'generic' ? unit : withKnownMotor(unit);

/** One profile for each pair of style and motor that can be built. */
export function everyProfile(
  motors: readonly string[],
  { styles, limits }: { styles?: readonly string[]; limits: Limits },
): ResolvedUnit[] {
  const folder = mkdtempSync(join(tmpdir(), 'throwbench-random-'));
  const circuits = readdirSync(CIRCUITS)
    .map((file) => file.replace('.yaml', ''))
    .filter((id) => id !== 'relay-alone')
    .filter((id) => styles === undefined || styles.includes(id))
    // A relay by itself has no motor to draw.
    .filter((id) => !/^subject: relay$/m.test(readFileSync(new URL(`${id}.yaml`, CIRCUITS), 'utf8')));
  return circuits.flatMap((circuit) =>
    motors.flatMap((motor) => {
      // Of a drive with limit switches somebody has timed the travel.
      const isDrive = /kind: limit,/.test(readFileSync(new URL(`${circuit}.yaml`, CIRCUITS), 'utf8'));
      const travel = isDrive ? 'travelS: 1\n' : '';
      const write = (relay: string): ResolvedUnit => {
        const id = `${circuit}-${motor}`;
        const path = join(folder, `${id}.yaml`);
        writeFileSync(
          path,
          `id: ${id}\ntitle: Any unit\nkind: unit\ncircuit: ${circuit}\nmotor: ${motor}\n${relay}${travel}`,
        );
        return withLimits(plannedUnit(path), limits);
      };
      try {
        return [write('')];
      } catch {
        return [write('relay: mini-changeover\n')];
      }
    }),
  );
}

/** Conditions of a motor that come in degrees: what a used one may have, beyond what tolerances allow a good one. */
type Condition = (random: SeededRandom) => Partial<VirtualCase>;
const between = (random: SeededRandom, low: number, high: number): number =>
  low + (high - low) * random.uniform();
const CONDITIONS: Record<string, Condition> = {
  'motor-brushes-worn': (random) => ({
    wornBrushes: {
      extraResistanceOhm: between(random, 0.1, 1),
      dropoutsPerS: between(random, 6, 20),
      dropoutS: between(random, 0.002, 0.006),
    },
  }),
  'motor-gearbox-bound': (random) => ({
    motorScale: { coulombNm: between(random, 2, 3.5), viscousNms: between(random, 1, 1.8) },
  }),
  'motor-turns-light': (random) => ({ motorScale: { coulombNm: between(random, 0.2, 0.45) } }),
  'motor-winding-shorted': (random) => {
    const part = between(random, 0.4, 0.65);
    return { motorScale: { resistanceOhm: part, inductanceH: part, coulombNm: between(random, 1.2, 1.6) } };
  },
  'motor-magnets-weak': (random) => {
    const part = between(random, 0.55, 0.75);
    return { motorScale: { backEmfVsPerRad: part, torqueNmPerA: part } };
  },
};

/** How another motor of the family differs from the profile's, as a case says it; of a profile with a specification nothing. */
export function otherMotor(unit: ResolvedUnit, random: SeededRandom): Record<string, number> {
  const family = familyOf(unit);
  if (family === undefined) return {};
  const { motor } = nominalInput(unit);
  const other = familyMotor(motor, family, familyPlace(ANY_PLACE, random, isOnMechanism(unit)));
  const named = Object.entries(other) as [keyof typeof other, unknown][];
  return Object.fromEntries(
    named.flatMap(([name, value]) => {
      const nominal = name === 'reverseFrictionRatio' ? 1 : motor[name];
      return typeof value === 'number' && typeof nominal === 'number' && value !== nominal && nominal > 0
        ? [[name, value / nominal]]
        : [];
    }),
  );
}
/** Behind the ends of the family. */
const ANY_PLACE = 1000;

const product = (a: Record<string, number>, b: Record<string, number>): Record<string, number> =>
  Object.fromEntries(
    [...new Set([...Object.keys(a), ...Object.keys(b)])].map((key) => [key, (a[key] ?? 1) * (b[key] ?? 1)]),
  );

/** What was drawn: any unit, a good one that a hand has clipped on wrongly, any on a tired supply, a good one that is warm or cold. */
export const DRAWN = {
  units: randomUnit,
  mistakes: mistakenUnit,
  tired: tiredUnit,
  passing: passingUnit,
} as const;
export type Drawn = keyof typeof DRAWN;

/** What a hand does wrong at the rig's own clips, by what the rig's list calls it. */
const MISTAKES = /^(sense-clip.*|.*-clip-weak)$/;

function mistakenUnit(unit: ResolvedUnit, random: SeededRandom): RandomUnit {
  const one = healthyUnit(unit, random);
  const mistakes = [...rigFaultsOf(unit.style), ...clipFaultsOf(unit.style)].filter(({ id }) =>
    MISTAKES.test(id),
  );
  const truth = mistakes[Math.floor(random.uniform() * mistakes.length)]!.id;
  return { ...one, truth, virtualCase: { ...one.virtualCase, faults: [truth] } };
}

/** A battery that is low and soft, or thin leads to it (common practice, no source). */
function tiredUnit(unit: ResolvedUnit, random: SeededRandom): RandomUnit {
  const one = randomUnit(unit, random);
  const supply = {
    voltageV: between(random, 11.1, 11.6),
    sourceResistanceOhm: between(random, 0.15, 0.3),
  };
  return { ...one, virtualCase: { ...one.virtualCase, supply } };
}

/** Copper +0.39 % a kelvin (IEC 60028), ferrite about -0.2 % (value from memory); cold grease by half (common practice, no source). */
function passingUnit(unit: ResolvedUnit, random: SeededRandom): RandomUnit {
  const one = healthyUnit(unit, random);
  const overK = between(random, 20, 80);
  const flux = 1 - 0.002 * overK;
  const scale: Record<string, number> =
    random.uniform() < 0.5
      ? { resistanceOhm: 1 + 0.0039 * overK, backEmfVsPerRad: flux, torqueNmPerA: flux }
      : { coulombNm: between(random, 1.2, 1.6), viscousNms: between(random, 1.1, 1.3) };
  const motorScale = product(one.virtualCase.motorScale, scale);
  return { ...one, virtualCase: { ...one.virtualCase, motorScale } };
}

const HEALTHY_PART = 1 / 3;
const CONDITION_PART = 0.1;

/** Of the travel: a drive is mostly left at one of its ends. */
function anyPlace(random: SeededRandom): number {
  const dice = random.uniform();
  const place = random.uniform();
  if (dice < AT_AN_END) return 0;
  return dice < 2 * AT_AN_END ? 1 : place;
}
const AT_AN_END = 0.25;

function healthyUnit(unit: ResolvedUnit, random: SeededRandom): RandomUnit {
  const seed = Math.floor(random.uniform() * 2 ** 31);
  const virtualCase: VirtualCase = {
    id: 'random',
    title: 'Random unit',
    kind: 'case',
    seed,
    faults: [],
    motorScale: otherMotor(unit, random),
    supply: { voltageV: between(random, 11, 14.5) },
    temperatureC: between(random, 0, 40),
    ...(hasLimits(unit.style) ? { standsAt: anyPlace(random) } : {}),
  };
  return { unit, truth: 'healthy', virtualCase, seed };
}

export function randomUnit(unit: ResolvedUnit, random: SeededRandom): RandomUnit {
  const faults = faultsOf(unit.style).map(({ id }) => id);
  const pick = <T>(list: readonly T[]): T => list[Math.floor(random.uniform() * list.length)]!;
  const dice = random.uniform();
  const healthy = healthyUnit(unit, random);
  const { virtualCase: base, seed } = healthy;
  if (dice < HEALTHY_PART) return healthy;
  if (dice < HEALTHY_PART + CONDITION_PART) {
    const truth = pick(Object.keys(CONDITIONS));
    const condition = CONDITIONS[truth]!(random);
    const motorScale = product(base.motorScale, condition.motorScale ?? {});
    return { unit, truth, virtualCase: { ...base, ...condition, motorScale }, healthy: base, seed };
  }
  const truth = pick(faults);
  return { unit, truth, virtualCase: { ...base, faults: [truth] }, healthy: base, seed };
}
