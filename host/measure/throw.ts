// One held throw: contact, bounce, inrush, running levels, drops, dropouts.

import { type Channel, firstAtOrAfter } from '../capture/index.js';
import { type Budgets, budgetOf, systematic } from './budget.js';
import { bounceEnd, findContact, lostBefore } from './contact.js';
import { canSeeDropouts, dropoutsOf, withRecovery } from './dropouts.js';
import { type Inrush, inrushOf } from './inrush.js';
import { differenceOf, levelOf, quotientOf } from './level.js';
import { countOf, type Measured, type Quantity, quantityOf } from './quantity.js';
import type { ThrowBefore } from './release.js';
import { type RippleStretch, rippleOf } from './ripple.js';
import { runEnd } from './run-end.js';
import { runningPeak, scatter, settle } from './running.js';
import type { Segment } from './segment.js';
import { median } from './statistics.js';
import { type CommandedStretch, indexAt, type Trace } from './trace.js';
import { underLoad } from './under-load.js';

/** A throw held shorter than this after contact has no running level. */
const BRIEF_S = 0.15;
/** Inrush is over by then on any motor met here (settling of a loaded window 50-200 ms, common practice). */
const INRUSH_WITHIN_S = 0.3;
/** Slow channels are interpolated over a millisecond; the level ends before the release does. */
const BEFORE_END_S = 0.002;

export interface ThrowSeen {
  segment: Segment;
  measured: Measured;
  notes: string[];
  before: ThrowBefore;
}

export interface ThrowOptions {
  ripple: boolean;
  ripplesPerTurn: number | undefined;
  /** Of a good motor's shaft, where known. */
  expectedRpm?: number | undefined;
  /** False when the waveform told the stretch: then nothing is known of a delay behind a command. */
  isCommanded: boolean;
}

export function throwOf(
  trace: Trace,
  stretch: CommandedStretch,
  name: string,
  restSupplyV: number,
  budgets: Budgets,
  options: ThrowOptions,
): ThrowSeen {
  const { from, to } = stretch;
  const measured: Measured = {};
  const notes: string[] = [];
  const put = (key: string, quantity: Quantity | undefined): Quantity | undefined => {
    if (quantity) measured[`${name}${key}`] = quantity;
    return quantity;
  };
  const fromS = trace.timeS[from]!;
  const toS = trace.timeS[to - 1]! + trace.stepS;
  const followed = stretch.startUnseen ? undefined : findContact(trace, from, to, restSupplyV);
  // Samples lost just before it: the contact may have closed in the gap.
  const contact = followed !== undefined && !lostBefore(trace, from, followed) ? followed : undefined;
  const start = followed ?? indexAt(trace, fromS + 0.02, from, to);
  const startS = trace.timeS[Math.min(start, to - 1)]!;
  const brief = toS - startS < BRIEF_S;
  const segment: Segment = { position: stretch.position, name, fromS, toS, brief, lost: {}, dropouts: [] };
  if (contact !== undefined) segment.contactS = startS;
  if (contact !== undefined && options.isCommanded) {
    put(
      'ContactDelayS',
      quantityOf(
        startS - fromS,
        's',
        [{ standardUncertainty: trace.stepS / Math.sqrt(3), degreesOfFreedom: Number.POSITIVE_INFINITY }],
        { fromS, toS: startS },
      ),
    );
  }

  const raw = trace.channels.motorCurrentA ?? trace.channels.feedCurrentA;
  const signed = trace.channels.motorCurrentA !== undefined;
  const noiseA = (signed ? trace.noise.motorCurrentA : trace.noise.feedCurrentA) ?? 0;
  const stop =
    raw && contact !== undefined && !brief ? runEnd(trace, raw, contact, to, noiseA, restSupplyV) : undefined;
  // Levels are those of the running motor, not of one that has reached its limit.
  const runToS = stop === undefined ? toS : trace.timeS[stop]!;
  let levelsTo = indexAt(trace, runToS - BEFORE_END_S, from, to);
  const levelsFrom = Math.min(indexAt(trace, startS + 0.5 * (runToS - startS), from, to), to - 1);
  if (levelsTo - levelsFrom < 3) levelsTo = to;
  segment.levelsFromS = trace.timeS[levelsFrom]!;
  segment.levelsToS = trace.timeS[levelsTo - 1]!;

  let sign = stretch.position === 'reverse' ? -1 : 1;
  if (trace.motorVoltageV) {
    const usualV = median(trace.motorVoltageV, levelsFrom, levelsTo);
    if (Math.abs(usualV) > 0.2 * restSupplyV) sign = Math.sign(usualV);
    else if (signed && raw) sign = Math.sign(median(raw, levelsFrom, levelsTo)) || sign;
  } else if (signed && raw) sign = Math.sign(median(raw, levelsFrom, levelsTo)) || sign;
  const current = raw && (signed && sign < 0 ? raw.map((value) => -value) : raw);

  let leaveOut: [number, number][] = [];
  if (current) {
    const usualA = median(current, levelsFrom, levelsTo);
    const runFrom = indexAt(trace, startS + 0.02, from, to);
    segment.dropouts = dropoutsOf(trace, current, Math.min(runFrom, levelsTo), levelsTo, usualA, noiseA);
    leaveOut = withRecovery(segment.dropouts, trace.stepS);
  }
  const level = (channel: Channel, options: { sign?: number } = {}): Quantity | undefined =>
    levelOf(
      trace,
      channel,
      levelsFrom,
      levelsTo,
      budgets,
      leaveOut.length ? { ...options, leaveOut } : options,
    ) ?? levelOf(trace, channel, levelsFrom, levelsTo, budgets, options);

  const a = put('LeadAVoltageV', level('leadAVoltageV'));
  const b = put('LeadBVoltageV', level('leadBVoltageV'));
  const supply = put('SupplyVoltageV', level('supplyVoltageV'));
  put('CoilCurrentA', level('coilCurrentA'));
  const motorCurrent = level('motorCurrentA');
  put('MotorCurrentA', motorCurrent);
  put('FeedCurrentA', level('feedCurrentA'));
  if (a && b) put('MotorVoltageV', differenceOf(a, b));
  const supplyV = supply?.value ?? restSupplyV;
  const liveVoltage = a && b ? Math.abs(a.value - b.value) > 0.3 * supplyV : undefined;
  const magnitude = signed ? level('motorCurrentA', { sign }) : level('feedCurrentA');
  const flows =
    magnitude !== undefined && magnitude.value > Math.max(3 * magnitude.standardUncertainty, 0.02);

  let inrush: Inrush | undefined;
  if (current && contact !== undefined && flows) {
    const until = Math.min(levelsTo, indexAt(trace, startS + INRUSH_WITHIN_S, from, to));
    inrush =
      signed || trace.stepS < 0.0006 || !options.isCommanded
        ? inrushOf(current, contact, until, trace.stepS, noiseA)
        : undefined;
    if (inrush) {
      const channel = signed ? 'motorCurrentA' : 'feedCurrentA';
      const budget = budgetOf(budgets, channel);
      const clipped = inrush.peakA >= Math.min(budget.maximum, -budget.minimum) * 0.99;
      if (clipped)
        notes.push(
          `${name}: the current ran beyond the rig's range of ${Math.min(budget.maximum, -budget.minimum).toFixed(0)} A; the peak is at least that.`,
        );
      const coarse = trace.stepS > 0.0005;
      if (coarse)
        notes.push(
          `${name}: sampled every ${(trace.stepS * 1000).toFixed(1)} ms; the inrush peak may be missed between samples.`,
        );
      const peak = quantityOf(
        inrush.peakA,
        'A',
        [
          {
            standardUncertainty: inrush.fitUncertaintyA,
            degreesOfFreedom: 8,
            source: 'scatter around the peak',
          },
          // Shape left over by the quadratic; seen on starts whose truth is known (tests), taken as rectangular.
          {
            standardUncertainty: ((coarse ? 0.05 : 0.003) * inrush.peakA) / Math.sqrt(3),
            degreesOfFreedom: 50,
            source: 'shape of the peak',
          },
          ...systematic(budget, inrush.peakA, noiseA),
        ],
        { fromS: startS, toS: trace.timeS[until - 1]! },
      );
      put('InrushPeakA', peak);
      put(
        'InrushTimeS',
        quantityOf(
          trace.timeS[inrush.at]! - startS,
          's',
          [{ standardUncertainty: 1.5 * trace.stepS, degreesOfFreedom: Number.POSITIVE_INFINITY }],
          { fromS: startS, toS: trace.timeS[inrush.at]! },
        ),
      );
      const at = indexAt(trace, trace.timeS[inrush.at]! + 0.001, from, to);
      put(
        'InrushSupplyVoltageV',
        levelOf(trace, 'supplyVoltageV', Math.max(from, inrush.at - 2), Math.max(at, inrush.at + 3), budgets),
      );
      if (inrush.spikeA !== undefined) {
        put(
          'SpikeA',
          quantityOf(
            inrush.spikeA,
            'A',
            [{ standardUncertainty: noiseA, degreesOfFreedom: 50 }, ...systematic(budget, inrush.spikeA)],
            { fromS: startS, toS: startS + 0.002 },
          ),
        );
      }
      if (!brief && magnitude)
        put('SettleS', settle(trace, current, inrush.at, levelsTo, inrush.peakA, magnitude.value, startS));
    }
  }
  if (current && contact !== undefined && flows) {
    const channel = signed ? 'motorCurrentA' : 'feedCurrentA';
    const loaded = { name, current, channel, contact, levelsTo, to, supplyV, inrush, brief } as const;
    Object.assign(measured, underLoad(trace, loaded, budgets));
  }
  if (stop !== undefined) {
    put(
      'StopsAfterS',
      quantityOf(
        runToS - startS,
        's',
        [{ standardUncertainty: trace.stepS, degreesOfFreedom: Number.POSITIVE_INFINITY }],
        { fromS: startS, toS: runToS },
      ),
    );
  }
  if (!brief && magnitude) {
    put('RunningCurrentA', magnitude);
    if (current && flows) {
      put('RunningScatterA', scatter(trace, current, levelsFrom, levelsTo));
      const budget = budgetOf(budgets, signed ? 'motorCurrentA' : 'feedCurrentA');
      put('RunningPeakA', runningPeak(trace, current, levelsFrom, levelsTo, noiseA, budget));
      if (options.ripple && segment.dropouts.length === 0)
        Object.assign(
          measured,
          rippleOf(
            {
              ...(fine(trace, levelsFrom, levelsTo, sign) ?? {
                current,
                ...trace,
                from: levelsFrom,
                to: levelsTo,
              }),
              betweenConversions: trace.factor === 1 && budgets.motorCurrentA !== undefined,
              gain: budget.gain,
            },
            name,
            options.ripplesPerTurn,
            options.expectedRpm,
          ),
        );
    }
    if (current && flows && canSeeDropouts(magnitude.value, noiseA)) {
      const lost = segment.dropouts;
      const count = (key: string, found: number): void => {
        put(key, countOf(found, { fromS: startS, toS }));
      };
      // Without both leads nobody can tell on which side the current was lost.
      if (!trace.motorVoltageV) count('Dropouts', lost.length);
      else {
        count('DropoutsMotorSide', lost.filter(({ side }) => side === 'motor').length);
        count('DropoutsHarnessSide', lost.filter(({ side }) => side === 'harness').length);
      }
    }
  }
  if (a && b && liveVoltage) {
    const [high, low] = a.value > b.value ? [a, b] : [b, a];
    const ground = put('GroundDropV', low);
    const feed = supply && put('FeedDropV', differenceOf(supply, high));
    if (magnitude && flows) {
      if (ground) put('GroundResistanceOhm', quotientOf(ground, magnitude, 'Ohm'));
      if (feed) put('FeedResistanceOhm', quotientOf(feed, magnitude, 'Ohm'));
    }
    if (contact !== undefined) {
      const bounce = bounceEnd(trace, contact, to, a.value - b.value);
      if (bounce !== undefined) {
        segment.bounceEndS = bounce;
        put(
          'BounceS',
          quantityOf(
            bounce - startS,
            's',
            [{ standardUncertainty: trace.stepS / Math.sqrt(3), degreesOfFreedom: Number.POSITIVE_INFINITY }],
            { fromS: startS, toS: bounce },
          ),
        );
      }
    }
  }
  const before: ThrowBefore = {
    name,
    sign,
    runningA: magnitude?.value,
    leadAV: a?.value,
    leadBV: b?.value,
    supplyV,
    inrushA: measured[`${name}InrushPeakA`]?.value,
    // A motor that has stopped by itself has nothing to show on release.
    live: liveVoltage !== false && flows && stop === undefined,
  };
  return { segment, measured, notes, before };
}

/** The stretch as it was sampled, where the working form averages: ripple may be quicker than its grid. */
function fine(trace: Trace, from: number, to: number, sign: number): RippleStretch | undefined {
  const { source, factor } = trace;
  const raw = source.channels.motorCurrentA ?? source.channels.feedCurrentA;
  if (factor === 1 || !raw) return undefined;
  const start = firstAtOrAfter(source.timeS, trace.timeS[from]!);
  const end = firstAtOrAfter(source.timeS, trace.timeS[to - 1]!);
  const signed = source.channels.motorCurrentA ? sign : 1;
  return {
    current: raw.subarray(start, end).map((value) => signed * value),
    timeS: source.timeS.subarray(start, end),
    stepS: trace.stepS / factor,
    from: 0,
    to: end - start,
  };
}
