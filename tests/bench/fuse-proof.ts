// Whether a blade fuse in the feed survives the standard plan, fault by fault, on the circuit model: with the limited
// feed first, with the board's trip alone, and with neither. `npx tsx tests/bench/fuse-proof.ts` prints all of them.

import { mkdtempSync, readdirSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { findShort } from '../../host/bench/find-short.js';
import type { Capture, Channel } from '../../host/capture/index.js';
import {
  buildUnitCircuit,
  type CircuitElement,
  nominalInput,
  type ScheduleEntry,
  simulate,
  type UnitCircuitInput,
} from '../../host/circuit/index.js';
import { hypothesesOf } from '../../host/diagnose/hypotheses.js';
import { tripIndex } from '../../host/diagnose/index.js';
import { loadUnit, type ResolvedUnit } from '../../host/profile/index.js';

/**
 * Quick edge of the opening-time gates of blade fuses at six times their rating, 20 ms (Littelfuse 287 sheet after
 * ISO 8820-3; the row of 600 % from memory). Shorter pulses heat without loss: the same I2t melts the fuse.
 */
const GATE_MULTIPLE = 6;
const GATE_S = 0.02;
export const meltingA2S = (ratedA: number): number => (GATE_MULTIPLE * ratedA) ** 2 * GATE_S;
/** The rig's feed relay lets go within this of the trip (the model's own figure for its relays). */
const FEED_OPENS_S = 0.0035;
const LEAD_IN_S = 0.2;
const RATE_HZ = 5000;
/** A dropped-in blade fuse of 15 to 20 A, cold (value from memory). */
const FUSE_OHM = 0.004;

export interface FuseRun {
  fault: string;
  endedBy: 'limited feed' | 'trip' | 'plan';
  /** Largest I2t within any 10 ms, and as a part of what melts the fuse. */
  worstA2S: number;
  blown: boolean;
  peakA: number;
}

/** Rated as the rig's handbook fuses a harness that has no fuse of its own: by its wire. */
export const ratingFor = (unit: ResolvedUnit): number => ((unit.unit.wiring.areaMm2 ?? 0) >= 2.5 ? 20 : 15);

interface Simulated {
  capture: Capture;
  fuseA: Float64Array;
  blownS: number;
}

function run(unit: ResolvedUnit, input: UnitCircuitInput, ratedA: number, onlyLimited: boolean): Simulated {
  const circuit = buildUnitCircuit(input);
  const elements = circuit.netlist.elements.map(
    (element): CircuitElement =>
      element.id === 'rig.feed-shunt' && element.kind === 'resistor'
        ? { ...element, a: 'rig.behind-fuse' }
        : element,
  );
  elements.push({
    kind: 'fuse',
    id: 'fuse',
    a: 'rig.supply',
    b: 'rig.behind-fuse',
    ratedA,
    resistanceOhm: FUSE_OHM,
    bandPosition: 0,
  });
  const { feed, position } = circuit.controls;
  const schedule: ScheduleEntry[] = [{ atS: 0, settings: [...feed.off, ...position.rest] }];
  const steps: { fromS: number; step: ResolvedUnit['plan']['steps'][number] | undefined }[] = [
    { fromS: 0, step: undefined },
  ];
  let atS = LEAD_IN_S;
  for (const step of unit.plan.steps) {
    if (onlyLimited && step.feed === 'full') break;
    schedule.push({ atS, settings: [...feed[step.feed], ...position[step.position]] });
    steps.push({ fromS: atS, step });
    atS += step.durationS;
  }
  const { timeS, values, events } = simulate({
    netlist: { elements },
    schedule,
    untilS: atS,
    sampleRateHz: RATE_HZ,
    probes: { ...circuit.probes, fuse: { kind: 'current', element: 'fuse' } },
    options: { relativeTolerance: 1e-3 },
  });
  const { fuse: fuseA, ...channels } = values;
  const at = Array.from(timeS, (t) => steps.findLast(({ fromS }) => fromS <= t + 1e-9)!.step);
  const capture: Capture = {
    timeS,
    position: at.map((step) => step?.position ?? 'rest'),
    feed: at.map((step) => step?.feed ?? 'off'),
    channels: channels as Record<Channel, Float64Array>,
    gaps: [],
    sampleRateHz: RATE_HZ,
    notes: [],
  };
  const blown = events.find(({ element, what }) => element === 'fuse' && what === 'blown');
  return { capture, fuseA: fuseA!, blownS: blown?.timeS ?? Number.POSITIVE_INFINITY };
}

/** I2t within the worst 10 ms, up to sample `to`. */
function worstOf(fuseA: Float64Array, to: number): number {
  const width = Math.round(0.01 * RATE_HZ);
  let sum = 0;
  let worst = 0;
  for (let i = 0; i < to; i++) {
    sum += fuseA[i]! ** 2;
    if (i >= width) sum -= fuseA[i - width]! ** 2;
    worst = Math.max(worst, sum);
  }
  return worst / RATE_HZ;
}

function seen(fault: string, simulated: Simulated, endedBy: FuseRun['endedBy'], endS: number): FuseRun {
  const { fuseA, capture, blownS } = simulated;
  const to = capture.timeS.findIndex((t) => t > endS);
  const end = to < 0 ? fuseA.length : to;
  return {
    fault,
    endedBy,
    worstA2S: worstOf(fuseA, end),
    blown: Number.isFinite(blownS) && blownS <= endS,
    peakA: fuseA.subarray(0, end).reduce((a, b) => Math.max(a, b), 0),
  };
}

/** What stands guard: the limited feed before the board's trip, the trip alone, or nothing. */
export type Guard = 'limited feed and trip' | 'trip' | 'none';

export function fuseRun(unit: ResolvedUnit, fault: string, input: UnitCircuitInput, guard: Guard): FuseRun {
  const ratedA = ratingFor(unit);
  if (guard === 'limited feed and trip') {
    const limited = run(unit, input, ratedA, true);
    if (findShort(unit, limited.capture))
      return seen(fault, limited, 'limited feed', Number.POSITIVE_INFINITY);
  }
  const whole = run(unit, input, ratedA, false);
  const trip = guard === 'none' ? undefined : tripIndex(whole.capture, unit.rig.trip);
  return trip === undefined
    ? seen(fault, whole, 'plan', Number.POSITIVE_INFINITY)
    : seen(fault, whole, 'trip', whole.capture.timeS[trip]! + FEED_OPENS_S);
}

/** Every fault of the style and every condition of its motor, as inputs of the circuit model. */
export function faultInputs(unit: ResolvedUnit): { fault: string; input: UnitCircuitInput }[] {
  const { motor, ...nominal } = nominalInput(unit);
  const { ripple: _ripple, ...plainMotor } = motor;
  const good: UnitCircuitInput = { ...nominal, motor: plainMotor };
  return hypothesesOf(unit).flatMap(({ id, variants }) =>
    variants.map((edit, i) => ({ fault: variants.length > 1 ? `${id} (${i + 1})` : id, input: edit(good) })),
  );
}

/** A unit of every circuit style with a motor, wired as `wiring` says. */
export function unitsOfAllStyles(motor: string): ResolvedUnit[] {
  const folder = mkdtempSync(join(tmpdir(), 'throwbench-fuse-'));
  const circuits = readdirSync(new URL('../../profiles/circuits/', import.meta.url)).map((file) =>
    file.replace('.yaml', ''),
  );
  try {
    return circuits
      .filter((circuit) => circuit !== 'relay-alone')
      .map((circuit) => {
        const path = join(folder, `any-${circuit}.yaml`);
        const lines = `id: any-${circuit}\ntitle: Any unit\nkind: unit\ncircuit: ${circuit}\nmotor: ${motor}\nplan: throw-both-ways\n`;
        for (const relay of ['', 'relay: mini-changeover\n']) {
          writeFileSync(path, lines + relay);
          try {
            return loadUnit(path);
          } catch (error) {
            if (relay !== '') throw error;
          }
        }
        throw new Error(`no unit of ${circuit}`);
      });
  } finally {
    rmSync(folder, { recursive: true, force: true });
  }
}
