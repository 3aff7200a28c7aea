// A relay's contacts in time: from the voltage at 30, which a load pulls up to the feed, to openings and closings.

import { sampleAt } from '../../arrays/index.js';
import type { Capture } from '../../capture/index.js';
import { summarise } from '../statistics.js';
import type { CoilCycle, Span } from './stretches.js';

export interface Edge {
  timeS: number;
  closes: boolean;
}

/** One switching of the coil as the contacts followed it; times in seconds from the coil's own edge. */
export interface Transfer {
  /** The contact that carried before opened. */
  opensS?: number;
  /** The other one closed for the first time. */
  closesS?: number;
  /** From first to last closing. */
  bounceS?: number;
  /** The load current went over without a gap that the sampling could see. */
  gapless: boolean;
}

export interface CycleSeen {
  operate: Transfer;
  release: Transfer;
  /** Which contact carries: at rest before the coil was on, with the coil on, and at rest after. */
  before: Carrier;
  on: Carrier;
  after: Carrier;
  /** The working contact stopped carrying this long after coil off; absent when it did not, or never carried. */
  workingOpensS?: number;
}

export type Carrier = 'working' | 'rest' | 'none' | 'unknown';

/** The armature has landed and its bounce is over (longest published operate time 10 ms, bounce 5 ms, with room). */
export const LANDED_S = 0.06;
/** A contact is open when 30 stands above this part of the supply. */
const OPEN_PART = 0.5;
/** Share of the load current in the working contact's branch that tells it carries. */
const CARRIES_PART = 0.5;
const LEAST_LOAD_A = 0.3;

/** The voltage at 30 above which no contact holds it to ground. */
export function openLevelV(capture: Capture, zero: readonly Span[]): number {
  const supply = capture.channels.supplyVoltageV;
  const from = zero[0]?.to ?? 0;
  const mean = supply ? summarise(supply, from).mean : Number.NaN;
  return OPEN_PART * (mean > 1 ? mean : 12);
}

/** Openings and closings between two samples, each where the straight line between them passes `levelV`. */
export function edgesOf(
  timeS: Float64Array,
  commonV: Float64Array,
  { from, to }: Span,
  levelV: number,
): Edge[] {
  const edges: Edge[] = [];
  let lastIndex = from;
  for (let i = from; i < to; i++) {
    if (Number.isNaN(sampleAt(commonV, i))) continue;
    const a = sampleAt(commonV, lastIndex);
    const b = sampleAt(commonV, i);
    if (a <= levelV !== b <= levelV && i > lastIndex) {
      const share = (levelV - a) / (b - a);
      edges.push({
        timeS: sampleAt(timeS, lastIndex) + share * (sampleAt(timeS, i) - sampleAt(timeS, lastIndex)),
        closes: b <= levelV,
      });
    }
    lastIndex = i;
  }
  return edges;
}

/** Which contact carries over a span, from the share of the load current that runs through the working one's shunt. */
export function carrierOf(capture: Capture, { from, to }: Span, levelV: number): Carrier {
  const { feedCurrentA, motorCurrentA, leadBVoltageV } = capture.channels;
  if (!leadBVoltageV || to - from < 3) return 'unknown';
  if (!(summarise(leadBVoltageV, from, to).mean <= levelV)) return 'none';
  if (!motorCurrentA) return 'unknown';
  const working = Math.abs(summarise(motorCurrentA, from, to).mean);
  const load = feedCurrentA ? summarise(feedCurrentA, from, to).mean : Number.NaN;
  if (Number.isNaN(load)) return working > LEAST_LOAD_A ? 'working' : 'unknown';
  if (!(load > LEAST_LOAD_A)) return 'unknown';
  return working > CARRIES_PART * load ? 'working' : 'rest';
}

/** What one cycle's contacts did. Undefined without the voltage at 30. */
export function cycleOf(capture: Capture, cycle: CoilCycle, levelV: number): CycleSeen | undefined {
  const { timeS, channels } = capture;
  const common = channels.leadBVoltageV;
  if (!common) return undefined;
  const onS = edgeTime(timeS, cycle.on);
  const offS = edgeTime(timeS, cycle.off);
  const indexAt = (atS: number, from: number, to: number): number => {
    let i = from;
    while (i < to && sampleAt(timeS, i) < atS) i++;
    return i;
  };
  const onTail = { from: indexAt(onS + LANDED_S, cycle.on, cycle.off), to: cycle.off };
  const offTail = { from: indexAt(offS + LANDED_S, cycle.off, cycle.to), to: cycle.to };
  // The rest before a first cycle may begin with the feed still off.
  const beforeFrom = Math.max(
    cycle.from,
    cycle.on -
      Math.max(
        3,
        Math.round(
          0.1 / ((sampleAt(timeS, cycle.on) - sampleAt(timeS, cycle.from)) / (cycle.on - cycle.from)),
        ),
      ),
  );
  const before = carrierOf(capture, { from: beforeFrom, to: cycle.on }, levelV);
  const on = carrierOf(capture, onTail, levelV);
  const after = carrierOf(capture, offTail, levelV);
  const operate = transferOf(
    edgesOf(timeS, common, { from: Math.max(0, cycle.on - 1), to: onTail.from }, levelV),
    onS,
    before,
    on,
  );
  const release = transferOf(
    edgesOf(timeS, common, { from: Math.max(0, cycle.off - 1), to: offTail.from }, levelV),
    offS,
    on,
    after,
  );
  const workingOpensS = on === 'working' && after !== 'working' ? release.opensS : undefined;
  return {
    operate,
    release,
    before,
    on,
    after,
    ...(workingOpensS === undefined ? {} : { workingOpensS }),
  };
}

/** The command fell between this sample and the one before. */
export const edgeTime = (timeS: Float64Array, index: number): number =>
  index > 0 ? (sampleAt(timeS, index - 1) + sampleAt(timeS, index)) / 2 : sampleAt(timeS, index);

function transferOf(edges: readonly Edge[], zeroS: number, before: Carrier, after: Carrier): Transfer {
  const opens = before === 'none' ? undefined : edges.find(({ closes }) => !closes);
  const fromS = opens?.timeS ?? zeroS;
  const closings = edges.filter(({ closes, timeS }) => closes && timeS >= fromS);
  const isClosed = after === 'working' || after === 'rest' || after === 'unknown';
  const first = isClosed ? closings[0] : undefined;
  const last = isClosed ? closings.at(-1) : undefined;
  const isOther = before !== after && before !== 'none' && after !== 'none' && after !== 'unknown';
  return {
    ...(opens ? { opensS: opens.timeS - zeroS } : {}),
    ...(first ? { closesS: first.timeS - zeroS } : {}),
    ...(first && last ? { bounceS: last.timeS - first.timeS } : {}),
    gapless: isOther && !opens && edges.length === 0,
  };
}
