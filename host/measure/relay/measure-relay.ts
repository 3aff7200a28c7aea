// Everything that one capture tells of a relay by itself. Pure; sees the capture only, never the rig or a fault.

import { sampleAt } from '../../arrays/index.js';
import { absentChannels, type Capture, CHANNEL } from '../../capture/index.js';
import { budgetsOf, clockUncertainty } from '../budget.js';
import { addClock } from '../measure.js';
import { countOf, lineOf, quantityOf } from '../quantity.js';
import { type Measured, putAll, puttingInto, type Told } from '../reading.js';
import { coilOf, stepOfGrid, windingOf } from './coil.js';
import { dipsOf } from './dip.js';
import { dropOf } from './drop.js';
import { type CycleSeen, cycleOf, edgeTime, LANDED_S, openLevelV } from './edges.js';
import type { RelayMeasureOptions } from './hook-up.js';
import { rampVoltages } from './ramp.js';
import { type CoilCycle, relayStretches, type Span } from './stretches.js';
import { type SuppressionSeen, suppressionOf } from './suppression.js';
import { timingOf, WELD_S } from './timing.js';

export interface RelayMeasured {
  measured: Measured;
  suppression: SuppressionSeen;
  cycles: CycleSeen[];
  /** No rig took it: what it does not hold was not tried, or not sampled. */
  isWitnessed?: true;
  /** Plain sentences: what could not be measured and why. */
  notes: string[];
}

/** Contact levels are read this long after they have landed, and end before the next command. */
const QUIET_S = 0.04;
const MARGIN_S = 0.003;

export function measureRelay(capture: Capture, options: RelayMeasureOptions = {}): RelayMeasured {
  if (capture.timeS.length < 10) {
    const why = 'The capture holds fewer than ten samples.';
    return { measured: {}, suppression: { kind: 'unknown', why }, cycles: [], notes: [why] };
  }
  const budgets = budgetsOf(options.rig);
  const isWitnessed = capture.feed === undefined;
  const stretches = relayStretches(capture);
  const { cycles, zero, ramp, notes } = stretches;
  const stepS = stepOfGrid(capture.timeS);
  const levelV = openLevelV(capture, zero);
  const seen = cycles.flatMap((cycle) => cycleOf(capture, cycle, levelV) ?? []);
  const coil = coilOf(capture, stretches, budgets, options);
  const suppression: SuppressionSeen = options.coilTest
    ? suppressionOf({
        ...(coil.marked ? { marked: coil.marked } : {}),
        ...(coil.exchanged ? { exchanged: coil.exchanged } : {}),
        coilPath: options.coilPath ?? { ohm: 0, standardUncertainty: 0 },
        coilTest: options.coilTest,
      })
    : { kind: 'unknown', why: 'the test resistor is not known' };
  const told: Told = { ...coil.measured, ...windingOf(coil, suppression, options) };
  if (suppression.kind === 'resistor') {
    told.suppressionOhm = quantityOf(suppression.ohm, 'Ohm', [lineOf(suppression.standardUncertainty)]);
  }
  Object.assign(
    told,
    dipsOf(capture, cycles, stepS, budgets),
    timingOf(seen, stepS),
    countsOf(seen, isWitnessed),
  );
  // Without load both leads are at one place only when a contact holds 30.
  const tied = seen[0]?.before === 'rest' || seen[0]?.before === 'working' ? zero : [];
  for (const [contact, spans] of [
    ['make', spansOf(capture, cycles, seen, 'working')],
    ['break', spansOf(capture, cycles, seen, 'rest')],
  ] as const) {
    const drop = dropOf(capture, contact, spans, tied, budgets);
    Object.assign(told, drop.measured);
    notes.push(...drop.notes);
  }
  if (ramp) {
    const turned = rampVoltages(capture, ramp, budgets);
    Object.assign(told, turned.measured);
    notes.push(...turned.notes);
  }
  const measured: Measured = {};
  putAll(puttingInto(measured), told);
  addClock(measured, clockUncertainty(options.rig));
  for (const channel of absentChannels(capture)) notes.push(`${CHANNEL[channel].label} was not sampled.`);
  return { measured, suppression, cycles: seen, ...(isWitnessed ? { isWitnessed } : {}), notes };
}

/** Stretches in which the contact carries and nothing moves any more. */
function spansOf(
  { timeS }: Capture,
  cycles: readonly CoilCycle[],
  seen: readonly CycleSeen[],
  carrier: 'working' | 'rest',
): Span[] {
  const quiet = (from: number, to: number): Span[] => {
    const startS = edgeTime(timeS, from) + LANDED_S + QUIET_S;
    const endS = sampleAt(timeS, to - 1) - MARGIN_S;
    let first = from;
    while (first < to && sampleAt(timeS, first) < startS) first++;
    let last = to;
    while (last > first && sampleAt(timeS, last - 1) > endS) last--;
    return last - first >= 10 ? [{ from: first, to: last }] : [];
  };
  return cycles.flatMap(({ on, off, to }, k) => {
    const cycle = seen[k];
    if (!cycle) return [];
    return [
      ...(cycle.on === carrier ? quiet(on, off) : []),
      ...(cycle.after === carrier ? quiet(off, to) : []),
    ];
  });
}

/** Cycles made, and of them those in which the armature did what it should; of another instrument only what it can tell. */
function countsOf(seen: readonly CycleSeen[], isWitnessed: boolean): Told {
  if (seen.length === 0) return {};
  const isTold = (which: 'before' | 'on' | 'after'): boolean =>
    !isWitnessed || seen.some((cycle) => cycle[which] !== 'unknown');
  const count = (test: (cycle: CycleSeen) => boolean): number => seen.filter(test).length;
  return {
    cycles: countOf(seen.length),
    ...(isTold('on') ? { cyclesOperated: countOf(count(({ on }) => on === 'working')) } : {}),
    ...(isTold('after') ? { cyclesReturned: countOf(count(({ after }) => after === 'rest')) } : {}),
    ...(isTold('before') ? { cyclesAtRest: countOf(count(({ before }) => before === 'rest')) } : {}),
    /** The working contact was open within 20 ms of coil off. */
    ...(isTold('on') || isTold('after')
      ? {
          cyclesLetGo: countOf(
            count(({ on, after, workingOpensS }) =>
              on === 'working' ? workingOpensS !== undefined && workingOpensS <= WELD_S : after !== 'working',
            ),
          ),
        }
      : {}),
  };
}
