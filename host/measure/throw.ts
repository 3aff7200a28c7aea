// One throw while it is held: contact, levels, start, running, drops. Read in steps, each of which adds to what is known.

import { sampleAt } from '../arrays/index.js';
import { type Channel, firstAtOrAfter } from '../capture/index.js';
import { known } from '../fields/index.js';
import type { Budgets } from './budget.js';
import { bounceEnd, findContact, lostBefore } from './contact.js';
import { type DriveCurrent, driveCurrent, driveSign } from './drive-current.js';
import { canSeeDropouts, dropoutsOf, withRecovery } from './dropouts.js';
import { differenceOf, levelOf, quotientOf } from './level.js';
import { type LoadStep, loadStepOf } from './load-step.js';
import { countOf, lineOf, type Quantity, quantityOf } from './quantity.js';
import { type Measured, type Put, putAll, puttingInto } from './reading.js';
import type { ThrowBefore } from './release.js';
import { mainsOf, type RippleStretch, rippleOf } from './ripple.js';
import { runEnd } from './run-end.js';
import type { RunStretch } from './run-stretch.js';
import { runningPeak, scatter } from './running.js';
import { runningLevel } from './running-level.js';
import type { Segment } from './segment.js';
import { readStart, type Start } from './start.js';
import { readStartDrops } from './start-drops.js';
import { median } from './statistics.js';
import { type SupplyMove, supplyMoves } from './supply-moves.js';
import { type CommandedStretch, indexAt, type Trace } from './trace.js';
import { OPEN_BY_TOP, underLoad } from './under-load.js';

/** A throw held shorter than this after contact has no running level. */
const BRIEF_S = 0.15;
/** Slow channels are interpolated over a millisecond; the level ends before the release does. */
const BEFORE_END_S = 0.002;
/** The levels are those of the second half, when the motor has run up. */
const LEVELS_FROM_PART = 0.5;
/** No contact was seen: relay and bounce are over by then (published operate times end at 10 ms). */
const UNSEEN_CONTACT_S = 0.02;
/** The rise of the current is over by then: a dropout can be told from it. */
const RISEN_S = 0.02;
/** Less than this, or than so many of its standard uncertainties, is no current. Choice of this program, no source. */
const LEAST_CURRENT_A = 0.02;
const CLEAR_OF_ZERO = 3;
/** How well a change of the load is placed in time, and how long the current takes to its new level. Choices of this program, no source. */
const CHANGE_S = 0.02;
const CHANGED_S = 0.12;
/** Of the supply: a motor that gets more between its leads is live. Choice of this program, no source. */
const LIVE_PART = 0.3;

export interface ThrowSeen {
  segment: Segment;
  measured: Measured;
  notes: string[];
  before: ThrowBefore;
}

/** What a run as a whole tells of every throw. */
export interface ThrowContext {
  trace: Trace;
  budgets: Budgets;
  restSupplyV: number;
  ripple: boolean;
  ripplesPerTurn: number | undefined;
  /** False when the waveform told the stretch: then nothing is known of a delay behind a command. */
  isCommanded: boolean;
  /** A drive with limit switches hangs there. */
  stopsItself?: boolean | undefined;
}

/** A throw as far as it has been read. Indices are samples of the trace. */
export interface HeldThrow extends ThrowContext {
  stretch: CommandedStretch;
  of: RunStretch;
  segment: Segment;
  notes: string[];
  put: Put;
  /** Contact, or where it should have closed. */
  startS: number;
  /** Absent when it was not seen to close, or samples are missing before it. */
  contact: number | undefined;
  /** Where the motor stopped by itself. */
  stop: number | undefined;
  /** Where its load changed for good; levels are those before it. */
  loadStep: LoadStep | undefined;
  /** Where the supply moved by itself, in order. */
  moves: readonly SupplyMove[];
  runToS: number;
  levelsFrom: number;
  levelsTo: number;
  sign: number;
  current: DriveCurrent | undefined;
  /** Dropouts with the surge behind each, and moves of the supply until the motor has run up again. */
  leaveOut: [number, number][];
}

/** @param expectedRpm of a good motor's shaft in this throw, where known */
export function throwOf(
  context: ThrowContext,
  stretch: CommandedStretch,
  of: RunStretch,
  expectedRpm?: number,
): ThrowSeen {
  const measured: Measured = {};
  const held = heldThrow(context, stretch, of, puttingInto(measured, of));
  const levels = readLevels(held);
  const inrush = readStart(held, levels.flows ? levels.magnitude : undefined);
  const { current, contact, put } = held;
  if (current && contact !== undefined && levels.flows) {
    const isOpen = underLoad(held, current, contact, levels.supplyV, inrush);
    if (isOpen)
      for (const [key, { what }] of Object.entries(measured))
        if (OPEN_BY_TOP.includes(what)) delete measured[key];
  }
  if (held.stop !== undefined) {
    const span = { fromS: held.startS, toS: held.runToS };
    put('stopsAfterS', quantityOf(held.runToS - held.startS, 's', [lineOf(context.trace.stepS)], span));
  }
  readLoadStep(held);
  if (!held.segment.brief && levels.magnitude) readRunning(held, levels, expectedRpm);
  readDrops(held, levels, inrush);
  return {
    segment: held.segment,
    measured,
    notes: held.notes,
    before: {
      of,
      sign: held.sign,
      runningA: held.loadStep?.afterA ?? levels.magnitude?.value,
      leadAV: levels.a?.value,
      leadBV: levels.b?.value,
      supplyV: levels.supplyV,
      inrushA: inrush?.peak.value,
      // A motor that has stopped by itself has nothing to show on release.
      live:
        levels.isLive !== false &&
        levels.flows &&
        held.stop === undefined &&
        held.loadStep?.kind !== 'stands',
    },
  };
}

/** Contact, end, levels' window, and which way the motor is driven. */
function heldThrow(context: ThrowContext, stretch: CommandedStretch, of: RunStretch, put: Put): HeldThrow {
  const { trace, restSupplyV, budgets } = context;
  const { from, to } = stretch;
  const fromS = sampleAt(trace.timeS, from);
  const toS = sampleAt(trace.timeS, to - 1) + trace.stepS;
  const followed = stretch.startUnseen ? undefined : findContact(trace, from, to, restSupplyV);
  // Samples lost just before it: the contact may have closed in the gap.
  const contact = followed !== undefined && !lostBefore(trace, from, followed) ? followed : undefined;
  const start = followed ?? indexAt(trace, fromS + UNSEEN_CONTACT_S, from, to);
  const startS = sampleAt(trace.timeS, Math.min(start, to - 1));
  const brief = toS - startS < BRIEF_S;
  const segment: Segment = { of, fromS, toS, brief, lost: {}, dropouts: [] };
  if (stretch.startUnseen) segment.startUnseen = true;
  if (contact !== undefined) segment.contactS = startS;
  if (contact !== undefined && context.isCommanded) {
    const span = { fromS, toS: startS };
    put('contactDelayS', quantityOf(startS - fromS, 's', [lineOf(trace.stepS / Math.sqrt(3))], span));
  }
  const unsigned = driveCurrent(trace, 1, budgets);
  const stop =
    unsigned && contact !== undefined && !brief
      ? runEnd(trace, {
          ...{ current: unsigned.values, contact, to, noiseA: unsigned.noiseA, supplyV: restSupplyV },
          stopsItself: context.stopsItself,
        })
      : undefined;
  const endS = stop === undefined ? toS : sampleAt(trace.timeS, stop);
  const usualFrom = indexAt(trace, startS + LEVELS_FROM_PART * (endS - startS), from, to);
  const endsAt = stop ?? to;
  const moves = unsigned ? supplyMoves(trace, unsigned.values, [start, endsAt], usualFrom) : [];
  const loadStep =
    unsigned && contact !== undefined && stop === undefined && moves.length === 0 && !brief
      ? loadStepOf(trace, { current: unsigned.values, contact, to, noiseA: unsigned.noiseA })
      : undefined;
  // Levels are those of the running motor, not of one that has reached its limit or that something holds.
  const runToS = loadStep === undefined ? endS : sampleAt(trace.timeS, loadStep.at);
  const halfS = startS + LEVELS_FROM_PART * (runToS - startS);
  const levelsFrom = Math.min(indexAt(trace, halfS, from, to), to - 1);
  const ended = indexAt(trace, runToS - BEFORE_END_S, from, to);
  const levelsTo = ended - levelsFrom < 3 ? to : ended;
  segment.levelsFromS = sampleAt(trace.timeS, levelsFrom);
  segment.levelsToS = sampleAt(trace.timeS, levelsTo - 1);
  const sign = driveSign(trace, [levelsFrom, levelsTo], of.position === 'reverse' ? -1 : 1, restSupplyV);
  const current = driveCurrent(trace, sign, budgets);
  const held: HeldThrow = {
    ...context,
    ...{ stretch, of, segment, put, startS, contact, stop, loadStep, moves, runToS },
    ...{ levelsFrom, levelsTo, sign, current },
    notes: [],
    leaveOut: [],
  };
  if (current) {
    const usualA = median(current.values, levelsFrom, levelsTo);
    const risen = Math.min(indexAt(trace, startS + RISEN_S, from, to), levelsTo);
    const running = { current: current.values, from: risen, to: levelsTo, usualA, noiseA: current.noiseA };
    // What the current does while the supply moves is no loss of it.
    segment.dropouts = dropoutsOf(trace, running).filter(
      (lost) => !moves.some((move) => lost.from < move.until && lost.to > move.from),
    );
    held.leaveOut = withRecovery(segment.dropouts, trace.stepS);
  }
  if (moves.length > 0) {
    segment.supplyMoves = moves.map(({ fromS: sinceS, toS: untilS, extremeV, usualV, isUnseen }) => ({
      ...{ fromS: sinceS, toS: untilS, extremeV, usualV },
      ...known({ isUnseen }),
    }));
    held.leaveOut.push(...moves.map(({ from: since, until }): [number, number] => [since, until]));
  }
  if (loadStep) {
    const { kind, beforeA, afterA } = loadStep;
    segment.loadStep = { atS: runToS, kind, beforeA, afterA };
  }
  return held;
}

interface Levels {
  a: Quantity | undefined;
  b: Quantity | undefined;
  supply: Quantity | undefined;
  supplyV: number;
  /** Positive into the motor. */
  magnitude: Quantity | undefined;
  flows: boolean;
  /** Whether the motor has its voltage; undefined where the leads do not tell. */
  isLive: boolean | undefined;
}

/** Level of one channel while the motor runs; over the whole window where the dropouts leave too little. */
function levelWhileRunning(held: HeldThrow, channel: Channel, sign = 1): Quantity | undefined {
  const { trace, budgets, leaveOut } = held;
  const over = [held.levelsFrom, held.levelsTo] as const;
  const usual = leaveOut.length ? levelOf(trace, channel, over, budgets, { sign, leaveOut }) : undefined;
  return usual ?? levelOf(trace, channel, over, budgets, { sign });
}

/** Of a voltage that was read across both leads: with what is known of one lead's instrument. */
function levelBetween(held: HeldThrow): Quantity | undefined {
  const { motorVoltageV: leadAVoltageV, noise } = held.trace;
  if (leadAVoltageV === undefined || held.trace.channels.leadAVoltageV) return undefined;
  const trace = { ...held.trace, noise, channels: { ...held.trace.channels, leadAVoltageV } };
  return levelWhileRunning({ ...held, trace }, 'leadAVoltageV');
}

function readLevels(held: HeldThrow): Levels {
  const { put } = held;
  const level = (channel: Channel): Quantity | undefined => levelWhileRunning(held, channel);
  const a = put('leadAVoltageV', level('leadAVoltageV'));
  const b = put('leadBVoltageV', level('leadBVoltageV'));
  const supply = put('supplyVoltageV', level('supplyVoltageV'));
  put('coilCurrentA', level('coilCurrentA'));
  put('motorCurrentA', level('motorCurrentA'));
  const feed = put('feedCurrentA', level('feedCurrentA'));
  const between = a && b ? differenceOf(a, b) : levelBetween(held);
  put('motorVoltageV', between);
  const supplyV = supply?.value ?? held.restSupplyV;
  const { current } = held;
  const sign = current?.channel === 'motorCurrentA' ? held.sign : 1;
  const magnitude = current && levelWhileRunning(held, current.channel, sign);
  // What of the feed does not come through lead A is lost on the way: onto ground, or from a winding onto its case.
  if (feed && magnitude && current?.channel === 'motorCurrentA')
    put('leakageA', differenceOf(feed, magnitude));
  const leastA = Math.max(CLEAR_OF_ZERO * (magnitude?.standardUncertainty ?? 0), LEAST_CURRENT_A);
  return {
    ...{ a, b, supply, supplyV, magnitude },
    flows: magnitude !== undefined && magnitude.value > leastA,
    isLive: between ? Math.abs(between.value) > LIVE_PART * supplyV : undefined,
  };
}

/** When the load changed, and what flows from there on. */
function readLoadStep({ put, trace, budgets, stretch, startS, runToS, ...held }: HeldThrow): void {
  if (held.loadStep === undefined || held.current === undefined) return;
  put(
    'loadChangesAfterS',
    quantityOf(runToS - startS, 's', [lineOf(CHANGE_S)], { fromS: startS, toS: runToS }),
  );
  const { channel } = held.current;
  const behind = [indexAt(trace, runToS + CHANGED_S, stretch.from, stretch.to), stretch.to] as const;
  const sign = channel === 'motorCurrentA' ? held.sign : 1;
  put('changedCurrentA', levelOf(trace, channel, behind, budgets, { sign }));
}

function readRunning(held: HeldThrow, { magnitude, flows }: Levels, expectedRpm: number | undefined): void {
  const { trace, put, current, segment, levelsFrom, levelsTo } = held;
  if (!magnitude) return;
  if (!current || !flows) {
    put('runningCurrentA', magnitude);
    return;
  }
  runningLevel(held, current, magnitude);
  put('runningScatterA', scatter(current, levelsFrom, levelsTo));
  put('runningPeakA', runningPeak(current, levelsFrom, levelsTo));
  if (held.ripple && segment.dropouts.length === 0) {
    const asSampled: RippleStretch = fine(held) ?? {
      ...{ current: current.values, timeS: trace.timeS, stepS: trace.stepS, from: levelsFrom, to: levelsTo },
    };
    const betweenConversions = trace.factor === 1 && held.budgets.motorCurrentA !== undefined;
    const stretch = {
      ...asSampled,
      betweenConversions,
      gain: current.budget.gain,
      countA: current.budget.resolution,
    };
    // A rig, and a bench that tells its throws, hang on no mains.
    const { isForeign, positionKnown } = trace.source;
    const mains = isForeign || positionKnown === false ? mainsOf(stretch) : undefined;
    if (mains) segment.mains = mains;
    else putAll(put, rippleOf(stretch, held.ripplesPerTurn, expectedRpm));
  }
  if (!canSeeDropouts(magnitude.value, current.noiseA)) return;
  const span = { fromS: held.startS, toS: segment.toS };
  const lost = (side?: 'motor' | 'harness'): Quantity =>
    countOf(segment.dropouts.filter((one) => side === undefined || one.side === side).length, span);
  // Without both leads nobody can tell on which side the current was lost.
  if (!trace.motorVoltageV) put('dropouts', lost());
  else {
    put('dropoutsMotorSide', lost('motor'));
    put('dropoutsHarnessSide', lost('harness'));
  }
}

/** Drops on the way to the motor and back, and the bounce of the contact that feeds it. */
function readDrops(
  held: HeldThrow,
  { a, b, supply, magnitude, flows, isLive }: Levels,
  start: Start | undefined,
): void {
  const { trace, put, contact, segment } = held;
  if (!a || !b || !isLive) return;
  const [high, low] = a.value > b.value ? [a, b] : [b, a];
  put('groundDropV', low);
  const feed = supply && put('feedDropV', differenceOf(supply, high));
  if (magnitude && flows) {
    put('groundResistanceOhm', quotientOf(low, magnitude, 'Ohm'));
    if (feed) put('feedResistanceOhm', quotientOf(feed, magnitude, 'Ohm'));
    if (start) readStartDrops(held, start, supply !== undefined);
  }
  if (contact === undefined) return;
  const bounce = bounceEnd(trace, contact, held.stretch.to, a.value - b.value);
  if (bounce === undefined) return;
  segment.bounceEndS = bounce;
  const span = { fromS: held.startS, toS: bounce };
  put('bounceS', quantityOf(bounce - held.startS, 's', [lineOf(trace.stepS / Math.sqrt(3))], span));
}

/** The stretch as it was sampled, where the working form averages: ripple may be quicker than its grid. */
function fine({ trace, levelsFrom, levelsTo, sign }: HeldThrow): RippleStretch | undefined {
  const { source, factor } = trace;
  const raw = source.channels.motorCurrentA ?? source.channels.feedCurrentA;
  if (factor === 1 || !raw) return undefined;
  const start = firstAtOrAfter(source.timeS, sampleAt(trace.timeS, levelsFrom));
  const end = firstAtOrAfter(source.timeS, sampleAt(trace.timeS, levelsTo - 1));
  const signed = source.channels.motorCurrentA ? sign : 1;
  return {
    current: raw.subarray(start, end).map((value) => signed * value),
    timeS: source.timeS.subarray(start, end),
    stepS: trace.stepS / factor,
    from: 0,
    to: end - start,
  };
}
