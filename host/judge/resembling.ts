// Which known families a motor without a sheet is like: by what it runs at and what it would take held, both at about 13 V.

import { type GradeSource, meanOf, valuesOf } from './grade-readings.js';

/** Published currents of such motors are told at 12 to 14.5 V. */
const FAMILY_V = 13;
/** Of what passes the brushes (common practice, no source). */
const BRUSH_V = 0.3;
/** A start peaks at this part of the held current (derived for small PM motors, 0.83 to 0.89). */
const START_PART = 0.86;

/** Titles, the one in whose middle it lies first; empty where it is like none, or its currents were not seen. */
export function resembled(source: GradeSource): string[] {
  const running = meanOf(valuesOf(source, 'runningCurrentA'));
  const held = heldA(source);
  if (running === undefined || held === undefined) return [];
  const ranked = (source.motor.resembles ?? []).map(({ title, runningA, heldA: usual }) => ({
    title,
    off: Math.max(offOf(running, runningA), offOf(held, usual)),
  }));
  return ranked
    .filter(({ off }) => off <= 1)
    .sort((a, b) => a.off - b.off)
    .map(({ title }) => title);
}

/** By the fitted resistance; else by the mean of the starts, which wiring makes a little small. */
function heldA(source: GradeSource): number | undefined {
  const { resistanceOhm } = source;
  if (resistanceOhm !== undefined && resistanceOhm > 0) return (FAMILY_V - BRUSH_V) / resistanceOhm;
  const start = meanOf(valuesOf(source, 'inrushPeakA'));
  return start === undefined ? undefined : start / START_PART;
}

/** 0 in the middle of a range by its logarithm, 1 at its ends, more beyond. */
function offOf(value: number, { least, most }: { least: number; most: number }): number {
  const middle = (Math.log(least) + Math.log(most)) / 2;
  return Math.abs(Math.log(value) - middle) / ((Math.log(most) - Math.log(least)) / 2);
}
