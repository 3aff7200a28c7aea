// Whether a blade fuse in the feed survives the standard plan, fault by fault, on the circuit model: with the limited
// feed first, with the board's trip alone, and with neither. `npx tsx tests/bench/fuse-proof.ts` prints all of them.

import { mkdtempSync, readdirSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { findShort } from '../../host/bench/find-short.js';
import { HeldRotorWatch } from '../../host/bench/held-rotor-watch.js';
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
import { LEAD_IN_S, type ResolvedUnit } from '../../host/profile/index.js';
import { plannedUnit } from '../profile/planned-unit.js';

/**
 * Quick edge of the opening-time gates of blade fuses at six times their rating, 20 ms (Littelfuse 287 sheet after
 * ISO 8820-3; the row of 600 % from memory). Shorter pulses heat without loss: the same I2t melts the fuse.
 */
const GATE_MULTIPLE = 6;
const GATE_S = 0.02;
export const meltingA2S = (ratedA: number): number => (GATE_MULTIPLE * ratedA) ** 2 * GATE_S;
/** The rig's feed relay lets go within this of the trip (the model's own figure for its relays). */
const FEED_OPENS_S = 0.0035;
/** The drive looks so often whether a throw is over, and a block of samples may be on its way. */
const HELD_POLL_S = 0.07;
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
  const planned = run(unit, input, ratedA, false);
  const whole = guard === 'limited feed and trip' ? letGo(unit, input, ratedA, planned) : planned;
  const trip = guard === 'none' ? undefined : tripIndex(whole.capture, unit.rig.trip);
  return trip === undefined
    ? seen(fault, whole, 'plan', Number.POSITIVE_INFINITY)
    : seen(fault, whole, 'trip', whole.capture.timeS[trip]! + FEED_OPENS_S);
}

/** The same with every throw that meets a held rotor ended as the bench ends it: seen within a poll, plus the relay's time. */
function letGo(unit: ResolvedUnit, input: UnitCircuitInput, ratedA: number, planned: Simulated): Simulated {
  let simulated = planned;
  let { steps } = unit.plan;
  // A throw behind a fuse that blew shows nothing: it is looked at again once the one before is cut.
  for (;;) {
    const cut = withoutHolds(unit, steps, simulated.capture);
    if (cut.every(({ durationS }, n) => durationS === steps[n]!.durationS)) return simulated;
    steps = cut;
    simulated = run({ ...unit, plan: { ...unit.plan, steps } }, input, ratedA, false);
  }
}

function withoutHolds(
  unit: ResolvedUnit,
  steps: ResolvedUnit['plan']['steps'],
  capture: Capture,
): ResolvedUnit['plan']['steps'] {
  const watch = new HeldRotorWatch(unit);
  let atS = LEAD_IN_S;
  return steps.map((step) => {
    watch.start(step);
    const from = capture.timeS.findIndex((t) => t >= atS - 1e-9);
    atS += step.durationS;
    for (let k = from; k < capture.timeS.length && capture.timeS[k]! < atS - 1e-9; k++) {
      watch.add({ ...capture, timeS: capture.timeS.subarray(k, k + 1), channels: slotOf(capture, k) });
      if (!watch.isOver) continue;
      const seenS = capture.timeS[k]! - capture.timeS[from]!;
      return { ...step, durationS: Math.min(step.durationS, seenS + HELD_POLL_S) };
    }
    return step;
  });
}

const slotOf = ({ channels }: Capture, at: number): Capture['channels'] =>
  Object.fromEntries(
    Object.entries(channels).map(([name, values]) => [name, values.subarray(at, at + 1)]),
  ) as Capture['channels'];

/** Supplies that a fuse has to bear: as the profile has it, and a battery on its charger (common practice, no source). */
export const CHARGING_V = 14.5;

/** Every fault of the style and every condition of its motor, as inputs of the circuit model, at `supplyV` if told. */
export function faultInputs(
  unit: ResolvedUnit,
  supplyV?: number,
): { fault: string; input: UnitCircuitInput }[] {
  const { motor, ...usual } = nominalInput(unit);
  const nominal =
    supplyV === undefined ? usual : { ...usual, supply: { ...usual.supply, voltageV: supplyV } };
  const { ripple: _ripple, ...plainMotor } = motor;
  const good: UnitCircuitInput = { ...nominal, motor: plainMotor };
  return hypothesesOf(unit).flatMap(({ id, ways }) =>
    ways.map((edits, i) => ({
      fault: ways.length > 1 ? `${id} (${i + 1})` : id,
      input: { ...good, faults: [{ id, edits }] },
    })),
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
            return plannedUnit(path);
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
