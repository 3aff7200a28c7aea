// A current that pulses in one time from the first moment of a throw on: a controller chops its feed, or a charger ripples.
// What a motor's commutator or a bad segment of it draws begins at no frequency at all and goes with the speed.

import { sampleAt } from '../arrays/index.js';
import { type Capture, firstAtOrAfter } from '../capture/index.js';
import { hannWeighed, peakNear, powerOf } from './ripple-spectrum.js';
import { meanOver, median, noiseOf, summarise, windowMeans } from './statistics.js';

/** The same of a lone current over one throw, between the times that it was seen in. */
export function pulsedIn(
  { channels, timeS }: Capture,
  { contactS, toS }: { contactS?: number; toS: number },
): number | undefined {
  const { leadAVoltageV, leadBVoltageV, motorCurrentA, feedCurrentA } = channels;
  const raw = motorCurrentA ?? feedCurrentA;
  // Leads tell it themselves.
  if (!raw || contactS === undefined || (leadAVoltageV && leadBVoltageV)) return undefined;
  const [contact, to] = [firstAtOrAfter(timeS, contactS), firstAtOrAfter(timeS, toS)];
  // What the contact does as it opens is no pulse.
  const end = to - ENDS;
  if (!(end - contact > 2 * LATE.least)) return undefined;
  const sign = median(raw, contact, end) < 0 ? -1 : 1;
  const stepS = (sampleAt(timeS, end) - sampleAt(timeS, contact)) / (end - contact);
  return pulsedHz({ current: raw.map((value) => sign * value), contact, to: end, stepS });
}

/** Current of one throw, its sign taken out: samples [contact, to). */
export interface PulsedCurrent {
  current: Float64Array;
  contact: number;
  to: number;
  stepS: number;
}

/** Samples before the end of a throw that are not looked at. */
const ENDS = 10;
/** What the run's line is looked for in, samples: a power of two. */
const LATE = { most: 8192, least: 128 };
/** A line stands so far above the middle of the spectrum, and above its neighbours so many bins off; lower bins are slopes. Choices of this program, no source. */
const LINE = { clear: 60, steep: 6, side: 3, lowestBin: 5 };
/** Lines that are followed to the start, the strongest first. Choice of this program, no source. */
const FOLLOWED = 4;
/**
 * An ordinary start stands so far above the run. Without one the motor does not run up between the pulses: these then swing
 * the current by more than so much of its level, which no commutator does. Choices of this program, no source.
 */
const START_PART = 1.6;
const DEEP_PART = 0.5;
/**
 * The start is looked at so many times as long as its current takes to fall to 37 %: until then the speed, and with it all
 * that goes with it, has come to 78 % (a first-order lag). At most so long, and so many periods of the line at least.
 */
const EARLY = { times: 1.5, mostS: 0.08, periods: 3 };
/** Of a start: what is left where it has fallen to 37 %. */
const LEFT_PART = Math.exp(-1);
/** The line in the start: over its neighbours, over what it is in the run, over noise. Choices of this program, no source. */
const SEEN = { overBeside: 2.5, ofLate: 0.35, deviations: 5 };
/** Beside the line: a ripple that runs up is there while it passes. */
const BESIDE = [0.55, 1.6];

/** How often a second the current pulses, as it was sampled; undefined where it does not, or its start does not tell. */
export function pulsedHz({ current, contact, to, stepS }: PulsedCurrent): number | undefined {
  const most = Math.min(LATE.most, (to - contact) / 2);
  const size = 2 ** Math.floor(Math.log2(most));
  if (!(size >= LATE.least)) return undefined;
  const late = current.subarray(to - size, to);
  if (late.some(Number.isNaN)) return undefined;
  const weighed = hannWeighed(late, summarise(late).mean);
  for (const bin of linesOf(powerOf(weighed))) {
    const { bins, amplitudeA } = peakNear(weighed, bin);
    const hz = bins / size / stepS;
    if (isThereAtStart({ current, contact, to, stepS }, hz, amplitudeA)) return hz;
  }
  return undefined;
}

/** Strongest first. */
function linesOf(power: Float64Array): number[] {
  const middle = median(power, LINE.lowestBin, power.length);
  const at = (bin: number): number => power[Math.min(power.length - 1, bin)] ?? 0;
  return [...power.keys()]
    .filter((bin) => {
      const here = at(bin);
      return (
        bin >= LINE.lowestBin &&
        here > LINE.clear * middle &&
        here >= Math.max(at(bin - 1), at(bin + 1)) &&
        here > LINE.steep * Math.max(at(bin - LINE.side), at(bin + LINE.side))
      );
    })
    .sort((a, b) => at(b) - at(a))
    .slice(0, FOLLOWED);
}

function isThereAtStart({ current, contact, to, stepS }: PulsedCurrent, hz: number, lateA: number): boolean {
  const period = Math.max(1, Math.round(1 / hz / stepS));
  const course = windowMeans(current, contact, to, period);
  if (course.length < EARLY.periods * period || course.some(Number.isNaN)) return false;
  const peak = course.reduce((best, value, i) => (value > sampleAt(course, best) ? i : best), 0);
  const levelA = median(course, (3 * course.length) >> 2, course.length);
  const peakA = sampleAt(course, peak);
  const runsUp = peakA > START_PART * levelA;
  if (!runsUp && lateA < DEEP_PART * levelA) return false;
  const fallen = course.findIndex((value, i) => i > peak && value < levelA + LEFT_PART * (peakA - levelA));
  const most = EARLY.mostS / stepS;
  const span = runsUp ? Math.min(EARLY.times * fallen, most) : most;
  const length = Math.floor(span / period) * period;
  if (length < EARLY.periods * period || length > course.length) return false;
  const half = period >> 1;
  // Less its own course, so that the slope of the start draws no line.
  const swing = Float64Array.from(
    { length },
    (_, i) => sampleAt(current, contact + half + i) - sampleAt(course, i),
  );
  const early = hannWeighed(swing, meanOver(swing, 0, length));
  const amplitudeAt = (bins: number): number => peakNear(early, bins, 0).amplitudeA;
  const bins = hz * stepS * length;
  const hereA = amplitudeAt(bins);
  const noiseA = noiseOf(current, contact, to);
  return (
    hereA > SEEN.ofLate * lateA &&
    hereA > SEEN.deviations * noiseA * Math.sqrt(3 / length) &&
    BESIDE.every((times) => hereA > SEEN.overBeside * amplitudeAt(bins * times))
  );
}
