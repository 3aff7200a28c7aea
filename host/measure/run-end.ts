// A motor that stops by itself while it is still thrown: a limit switch at the end of travel, or a protector that opens.
// The leads keep their voltage and the current is gone for good, unlike a dropout.

import { sampleAt } from '../arrays/index.js';
import { median } from './statistics.js';
import { indexAt, samplesIn, type Trace } from './trace.js';

/** Longer than any dropout of brushes or joints met here (common practice, no source). */
const GONE_S = 0.03;
/** Sides of the end that are held against each other, and what may be left behind it of what flowed in front. */
const NEAR_S = 0.01;
const SUDDEN_PART = 0.5;
/** What ran before must have run, not only started: it is read between these times after contact. */
const STARTED_S = 0.02;
const RAN_S = 0.06;
/** A current that flows stands clear of this many deviations of noise, this current, this part of what ran. Choice of this program, no source. */
const CLEAR = 5;
const LEAST_A = 0.1;
const LEAST_PART = 0.05;
/** Leads that keep this part of the supply are still thrown. Choice of this program, no source. */
const LIVE_PART = 0.5;

/** A throw: samples from its contact up to `to` of a current whose sign is taken out. */
export interface Thrown {
  current: Float64Array;
  contact: number;
  to: number;
  /** Deviation of one sample. */
  noiseA: number;
  supplyV: number;
  /** Of a drive with limit switches. */
  stopsItself?: boolean | undefined;
}

/** Index of the first sample after the current ended for good; undefined when it flows to the end, or a lead fell with it. */
export function runEnd(
  trace: Trace,
  { current, contact, to, noiseA, supplyV, stopsItself }: Thrown,
): number | undefined {
  const contactS = sampleAt(trace.timeS, contact);
  const ranTo = indexAt(trace, contactS + RAN_S, contact, to);
  const usualA = Math.abs(median(current, indexAt(trace, contactS + STARTED_S, contact, to), ranTo));
  const leastA = Math.max(CLEAR * noiseA, LEAST_A, LEAST_PART * usualA);
  if (!(usualA > leastA)) return undefined;
  const flows = (i: number): boolean => Math.abs(sampleAt(current, i)) > leastA;
  let end = to;
  // Two in a row, so that one noisy sample does not pass for a current.
  while (end > ranTo + 1 && !(flows(end - 1) && flows(end - 2))) {
    // What was not sampled cannot be said to have stopped.
    if (Number.isNaN(sampleAt(current, end - 1))) return undefined;
    end--;
  }
  if ((to - end) * trace.stepS < GONE_S || end <= ranTo + 1) return undefined;
  // A light motor comes down to little by and by; a contact that opens leaves nothing of what ran just before.
  const near = Math.max(2, Math.round(samplesIn(trace, NEAR_S)));
  const before = Math.abs(median(current, Math.max(contact, end - near), end));
  const after = Math.abs(median(current, end + 1, Math.min(to, end + 1 + near)));
  if (!(after < SUDDEN_PART * before)) return undefined;
  // Without the leads nothing tells what ended it but that the drive has limits to end it.
  if (!trace.motorVoltageV) return stopsItself ? end : undefined;
  return Math.abs(median(trace.motorVoltageV, end, to)) > LIVE_PART * supplyV ? end : undefined;
}
