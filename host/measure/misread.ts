// What two channels of a rig say that no unit can do: then one of them is misread, and nobody can tell which. Currents that stand
// apart in one ratio whatever flows, a lead above the supply, a drop that is there whatever flows.

import { sampleAt } from '../arrays/index.js';
import { amount } from '../tell/index.js';
import type { CaptureDoubt } from './capture-doubt.js';
import type { QuantityName } from './quantities.js';
import { type Measured, readingOf } from './reading.js';
import { atStart, isThrow, type RunStretch } from './run-stretch.js';
import type { Segment } from './segment.js';
import { indexAt, type Trace } from './trace.js';

/** Two calibrated amplifiers of 0.5 % each stand 0.7 % apart (RIG.md, section 5.2). Choice of this program, no source. */
const LEAST_RATIO = 0.04;
/** A second motor on the same leads takes more: that is the unit's own. Choice of this program, no source. */
const MOST_RATIO = 0.3;
/** A motor that circulates its own current through a contact that should be open takes next to none of the feed. Choice of this program, no source. */
const LEAST_FED_RATIO = -0.75;
/** Cells that a ripple and the slower channel's lines between samples average out over. Choice of this program, no source. */
const CELL_S = 0.01;
/** The rise of a start is quicker than the feed current is sampled. Choice of this program, no source. */
const RISE_S = 0.015;
/** A start must stand so far above the run for a ratio to be told from a leak, which takes the same in both. Choice of this program, no source. */
const LEAST_SPAN_A = 3;
const LEAST_CELLS = 8;
/** Of the difference while running, what may be there whatever flows: zeros of both, and a leak beside. Choice of this program, no source. */
const CONSTANT_PART = 0.35;
const CONSTANT_A = 0.15;
/** Scatter of a slope by which it must stand clear. Choice of this program, no source. */
const CLEAR = 5;

/** 1 % parts make 0.13 V and 1.7 % of 20 V of each voltage (RIG.md, section 5.4). Choice of this program, no source. */
const LEAST_V = 0.5;
/** A joint that warms up is no plain resistance either: what goes with the current must be small beside what does not. Choice of this program, no source. */
const RESISTIVE_PART = 0.6;

/** Ground of the supply and of the rig are one post. Choices of this program, no source. */
const LEAST_BELOW_V = 1;
const LEAST_BACK_A = 0.5;

type Fit = { of: RunStretch; ratio: number };

/** Of a rig's own capture; empty where its channels agree, or another instrument took it. */
export function misreadIn(trace: Trace, segments: readonly Segment[], measured: Measured): CaptureDoubt[] {
  if (trace.isIdeal || trace.source.feed === undefined) return [];
  const thrown = segments.filter(({ of, startUnseen, brief }) => isFull(of) && !startUnseen && !brief);
  const found = [
    currentsApart(thrown.flatMap((segment) => fitOf(trace, segment) ?? [])),
    ...thrown.flatMap(({ of }) => [
      feedBackwards(of, measured),
      belowGround(of, measured),
      aboveSupply(of, measured),
      dropAtAnyCurrent(of, measured),
    ]),
  ];
  const [first] = found.filter((doubt) => doubt !== undefined);
  return first === undefined ? [] : [first];
}

const MISREAD = { kind: 'misread', isWhole: true, mutesCauses: true } as const;

const isFull = (of: RunStretch): boolean => of.feed === 'full' && isThrow(of);

/** What the feed current reads beyond the motor current, as a part of it; undefined where they agree, or differ by the same whatever flows. */
function fitOf(trace: Trace, { contactS, fromS, toS, of }: Segment): Fit | undefined {
  const { feedCurrentA: feed, motorCurrentA: motor } = trace.channels;
  if (!feed || !motor) return undefined;
  const sign = of.position === 'reverse' ? -1 : 1;
  const cells: { x: number; y: number }[] = [];
  for (let atS = (contactS ?? fromS) + RISE_S; atS + CELL_S < toS; atS += CELL_S) {
    const [from, to] = [
      indexAt(trace, atS, 0, trace.timeS.length),
      indexAt(trace, atS + CELL_S, 0, trace.timeS.length),
    ];
    let [x, y, count] = [0, 0, 0];
    for (let i = from; i < to; i++) {
      const [motorA, feedA] = [sign * sampleAt(motor, i), sampleAt(feed, i)];
      if (Number.isNaN(motorA + feedA)) continue;
      x += motorA;
      y += feedA - motorA;
      count += 1;
    }
    if (count > 0) cells.push({ x: x / count, y: y / count });
  }
  const { length } = cells;
  if (length < LEAST_CELLS) return undefined;
  const mean = (values: readonly number[]): number => values.reduce((sum, value) => sum + value, 0) / length;
  const [x0, y0] = [mean(cells.map(({ x }) => x)), mean(cells.map(({ y }) => y))];
  const spread = cells.reduce((sum, { x }) => sum + (x - x0) ** 2, 0);
  const most = Math.max(...cells.map(({ x }) => x));
  const least = Math.min(...cells.map(({ x }) => x));
  if (most - least < LEAST_SPAN_A) return undefined;
  const ratio = cells.reduce((sum, { x, y }) => sum + (x - x0) * (y - y0), 0) / spread;
  const left = cells.reduce((sum, { x, y }) => sum + (y - y0 - ratio * (x - x0)) ** 2, 0);
  const scatter = Math.sqrt(left / (length - 2) / spread);
  const constantA = Math.abs(y0 - ratio * x0);
  const isClear = Math.abs(ratio) > Math.max(LEAST_RATIO, CLEAR * scatter);
  return isClear && constantA < CONSTANT_A + CONSTANT_PART * Math.abs(ratio) * least
    ? { of, ratio }
    : undefined;
}

/** A winding that touches its case takes a part of the current too, but only where its own side is fed: both ways must show it. */
function currentsApart(fits: readonly Fit[]): CaptureDoubt | undefined {
  const [first] = fits;
  if (first === undefined) return undefined;
  const ratio = fits.reduce((sum, fit) => sum + fit.ratio, 0) / fits.length;
  const both = ['forward', 'reverse'].every((position) => fits.some(({ of }) => of.position === position));
  const isAlike = fits.every((fit) => Math.abs(fit.ratio - ratio) < 0.02 + 0.1 * Math.abs(ratio));
  if (!isAlike || ratio > MOST_RATIO || ratio < LEAST_FED_RATIO || (ratio > 0 && !both)) return undefined;
  const channels = ['motorCurrentA', 'feedCurrentA'] as const;
  const sentence =
    ratio > 0
      ? `The feed current reads ${percent(ratio)} more than the motor current, at the start as in the run and both ways: the rig misreads one of them, or something small runs beside the motor. Hold the rig against its known load (throwbench calibrate).`
      : `The motor current reads ${percent(1 / (1 + ratio) - 1)} more than the feed current that it comes from, which cannot be: the rig misreads one of them. Hold it against its known load (throwbench calibrate).`;
  return { ...MISREAD, channels, sentence };
}

const percent = (part: number): string => amount(100 * part, '%', 0);

/** The driven lead of a throw, the higher one. */
function drivenLead(of: RunStretch, measured: Measured): { lead: 'A' | 'B'; voltageV: number } | undefined {
  const [a, b] = [
    readingOf(measured, 'leadAVoltageV', of)?.value,
    readingOf(measured, 'leadBVoltageV', of)?.value,
  ];
  if (a === undefined || b === undefined) return undefined;
  return a > b ? { lead: 'A', voltageV: a } : { lead: 'B', voltageV: b };
}

function aboveSupply(of: RunStretch, measured: Measured): CaptureDoubt | undefined {
  const driven = drivenLead(of, measured);
  const supplyV = readingOf(measured, 'supplyVoltageV', of)?.value;
  if (driven === undefined || supplyV === undefined || driven.voltageV < supplyV + LEAST_V) return undefined;
  return {
    ...MISREAD,
    channels: [channelOf(driven.lead), 'supplyVoltageV'],
    sentence: `${atStart(of)}: lead ${driven.lead} reads ${amount(driven.voltageV, 'V', 1)} and the supply that feeds it ${amount(supplyV, 'V', 1)}, which cannot be: the rig misreads one of them. Measure both with a meter (throwbench calibrate).`,
  };
}

/** Throughout a throw nothing drives a lead below ground, but for what drops over the clips. */
function belowGround(of: RunStretch, measured: Measured): CaptureDoubt | undefined {
  for (const lead of ['A', 'B'] as const) {
    const levelV = readingOf(measured, channelOf(lead), of)?.value ?? 0;
    if (levelV > -LEAST_BELOW_V) continue;
    return {
      ...MISREAD,
      // Which way a current is driven is told by the leads.
      channels: [channelOf(lead), 'motorCurrentA'],
      sentence: `${atStart(of)}: lead ${lead} reads ${amount(levelV, 'V', 1)}, below ground, which cannot be: the rig misreads it. Measure it with a meter (throwbench calibrate).`,
    };
  }
  return undefined;
}

function feedBackwards(of: RunStretch, measured: Measured): CaptureDoubt | undefined {
  const feedA = readingOf(measured, 'feedCurrentA', of)?.value ?? 0;
  if (feedA > -LEAST_BACK_A) return undefined;
  return {
    ...MISREAD,
    channels: ['feedCurrentA'],
    sentence: `${atStart(of)}: the feed current reads ${amount(feedA, 'A', 1)}, as if the unit fed the battery, which cannot be: the rig misreads it. Hold the rig against its known load (throwbench calibrate).`,
  };
}

const channelOf = (lead: 'A' | 'B') => (lead === 'A' ? 'leadAVoltageV' : 'leadBVoltageV');

/** Feed first: of a supply that is misread both throws tell. */
const WAYS = [
  { ohm: 'feedResistanceOhm', ohmAtStart: 'feedResistanceAtStartOhm', isFeed: true },
  { ohm: 'groundResistanceOhm', ohmAtStart: 'groundResistanceAtStartOhm', isFeed: false },
] as const satisfies readonly { ohm: QuantityName; ohmAtStart: QuantityName; isFeed: boolean }[];

function dropAtAnyCurrent(of: RunStretch, measured: Measured): CaptureDoubt | undefined {
  const driven = drivenLead(of, measured);
  const runA = readingOf(measured, 'runningCurrentA', of);
  const startA = readingOf(measured, 'startLoadA', of);
  if (!driven || !runA || !startA || runA.isAtEnd || startA.value - runA.value < LEAST_SPAN_A)
    return undefined;
  for (const { ohm, ohmAtStart, isFeed } of WAYS) {
    const [run, start] = [readingOf(measured, ohm, of), readingOf(measured, ohmAtStart, of)];
    if (!run || !start) continue;
    const [runV, startV] = [run.value * runA.value, start.value * startA.value];
    const perA = (startV - runV) / (startA.value - runA.value);
    const constantV = runV - perA * runA.value;
    if (Math.abs(constantV) < LEAST_V) continue;
    if (Math.abs(perA) * startA.value > RESISTIVE_PART * Math.abs(constantV)) continue;
    const back = driven.lead === 'A' ? 'B' : 'A';
    const lead = isFeed ? driven.lead : back;
    const between = isFeed ? `the supply and lead ${lead}` : `lead ${lead} and ground`;
    return {
      ...MISREAD,
      channels: isFeed ? [channelOf(lead), 'supplyVoltageV'] : [channelOf(lead)],
      sentence: `${atStart(of)}: ${amount(Math.abs(constantV), 'V', 1)} between ${between} are there whatever current flows, as behind no wire or contact: ${constantV > 0 ? 'a diode lies in the way, or the rig' : 'the rig'} misreads ${isFeed ? 'one of them' : 'that lead'}. Measure with a meter (throwbench calibrate).`,
    };
  }
  return undefined;
}
