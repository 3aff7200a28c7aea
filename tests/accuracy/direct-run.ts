// One random unit on the simulated bench without the board between: same bench, noise, rounding, bounce and brushes,
// sampled at the rig's rate, stopped as the firmware stops. Several times quicker than the emulated board.

import { SCAN_LETTERS } from '../../firmware-protocol/index.js';
import {
  type Capture,
  CHANNELS,
  type Channel,
  type Feed,
  letterOf,
  type Position,
  perChannel,
} from '../../host/capture/index.js';
import type { ScheduleEntry, UnitCircuit } from '../../host/circuit/index.js';
import { LEAD_IN_S } from '../../host/profile/index.js';
import { chance, SimulatedBench } from '../../host/virtual-rig/index.js';
import type { RandomUnit } from './random-unit.js';

const RATE_HZ = 5000;
const TAIL_S = 0.03;
/** What the board still sends after a stop. */
const AFTER_STOP_S = 0.03;

const inputOf = perChannel((channel) => SCAN_LETTERS[letterOf(channel)].adc);

/** Asked before the feed is made full; true keeps it from that. */
export type Gate = (sofar: Capture) => boolean;

/** What happens beside the plan: a change of the circuit, and settings at instants of the run. */
export interface Happening {
  wired?: (circuit: UnitCircuit) => UnitCircuit;
  /** Sorted by time. */
  schedule?: readonly ScheduleEntry[];
}

export function runDirectly(
  { unit, virtualCase, seed }: RandomUnit,
  gate?: Gate,
  { wired, schedule = [] }: Happening = {},
): { capture: Capture; stop: string | undefined } {
  const bench = new SimulatedBench(unit, virtualCase, chance(seed), wired);
  const ahead = [...schedule];
  const { trip, scales, adcBits } = unit.rig;
  const top = 2 ** adcBits - 1;
  const time: number[] = [];
  const position: Position[] = [];
  const feeds: Feed[] = [];
  const values = Object.fromEntries(CHANNELS.map((name) => [name, [] as number[]])) as Record<
    Channel,
    number[]
  >;
  const capture = (): Capture => ({
    timeS: Float64Array.from(time),
    position: [...position],
    feed: [...feeds],
    channels: Object.fromEntries(
      CHANNELS.map((name) => [name, Float64Array.from(values[name])]),
    ) as Capture['channels'],
    gaps: [],
    sampleRateHz: RATE_HZ,
    notes: [],
  });
  let over = 0;
  let stopped: string | undefined;
  const sampleUntil = (untilS: number, at: Position, feed: Feed): void => {
    while (time.length / RATE_HZ < untilS - 1e-9) {
      const t = time.length / RATE_HZ;
      for (; ahead[0] !== undefined && ahead[0].atS <= t; ahead.shift())
        bench.transient.control(ahead[0].atS, ahead[0].settings);
      time.push(t);
      position.push(at);
      feeds.push(feed);
      for (const name of CHANNELS) {
        const { atZeroCount, perCount } = scales[name];
        const count = Math.min(top, Math.max(0, Math.round(bench.adcCounts(inputOf[name], t))));
        values[name].push(atZeroCount + perCount * count);
      }
      const isOver =
        Math.abs(values.motorCurrentA.at(-1)!) > trip.motorCurrentA ||
        values.feedCurrentA.at(-1)! > trip.feedCurrentA;
      over = isOver ? over + 1 : 0;
      if (over >= trip.samples && stopped === undefined) {
        stopped = 'over-current';
        return;
      }
    }
  };
  const outputs = (at: Position, feed: Feed) => ({
    feedLimited: feed === 'limited',
    feedFull: feed === 'full',
    throwForward: at === 'forward',
    throwReverse: at === 'reverse',
    coilFull: true,
  });
  sampleUntil(LEAD_IN_S, 'rest', 'off');
  let untilS = LEAD_IN_S;
  let last: Feed = 'off';
  let at: Position = 'rest';
  for (const step of unit.plan.steps) {
    if (step.feed === 'full' && last !== 'full' && gate?.(capture())) break;
    last = step.feed;
    at = step.position;
    bench.outputsChanged(untilS, outputs(at, last));
    untilS += step.durationS;
    sampleUntil(untilS, at, last);
    if (stopped) break;
  }
  const nowS = time.length / RATE_HZ;
  if (stopped) {
    bench.outputsChanged(nowS, outputs('rest', 'off'));
    sampleUntil(nowS + AFTER_STOP_S, 'rest', 'off');
  } else sampleUntil(nowS + TAIL_S, at, last);
  return { capture: capture(), stop: stopped };
}
