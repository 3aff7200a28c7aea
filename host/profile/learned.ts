// Limits that known good units have taught: a part of a profile, written by the program and read by a person.

import * as z from 'zod';

const finite = z.number();
const positive = z.number().positive();
const part = z.number().gt(0).lt(1);

/** One quantity of one stretch; the key under which it stands is that of `measure --json`. */
export const learnedQuantity = z.strictObject({
  words: z.string(),
  unit: z.string(),
  /** In the quantity's unit, at `atSupplyV` where it moves with the supply. */
  centre: finite,
  /** A limit that is absent is not asked. */
  lower: finite.optional(),
  upper: finite.optional(),
  /** Standard deviations: of a logarithm as a part of the centre, else in the quantity's unit. */
  betweenUnits: z.number().nonnegative(),
  withinUnit: z.number().nonnegative().optional(),
  spread: z.enum(['of the logarithm', 'plain']),
  shape: z.enum(['normal', 'taken as normal']),
  units: z.int().min(2),
  starts: z.int().min(2),
  /** Goes as this power of the supply. */
  supplyPower: finite.optional(),
  atSupplyV: positive.optional(),
});
export type LearnedQuantity = z.infer<typeof learnedQuantity>;

/** Readings with two limits that are read finer than units spread, taken together: Hotelling's T squared with a shrunk correlation. */
const learnedTogether = z.strictObject({
  /** Distance from the centres in spreads, the root of T squared. */
  upper: positive,
  /** Of this limit by itself. */
  coverage: part,
  confidence: part,
  /** How far the correlations were drawn towards none, for the few units that there are. */
  shrunk: z.number().min(0).max(1),
  method: z.string(),
  readings: z
    .array(
      z.strictObject({
        /** Key among `quantities`, which has the centre. */
        reading: z.string(),
        /** Of one start of any unit, on the scale of that quantity. */
        spread: positive,
        /** With each of the readings up to itself. */
        correlation: z.array(z.number().min(-1).max(1)).min(1),
      }),
    )
    .min(2),
});
export type LearnedTogether = z.infer<typeof learnedTogether>;

/** What stands behind limits of any kind: when, by what, of how many, and what part of good units they hold. */
export const teaching = {
  learnedOn: z.string(),
  tool: z.string(),
  units: z.int().min(3),
  starts: z.int().min(3),
  /** Of all limits together: they hold this part of good units, with this confidence. */
  coverage: part,
  confidence: part,
};

const learnedShape = z.strictObject({
  kind: z.literal('learned'),
  /** Of this file's make-up. */
  version: z.literal(1),
  title: z.string(),
  /** What was on the bench, and what read it: the limits speak of nothing else. */
  profile: z.string(),
  circuit: z.string(),
  motor: z.string(),
  plan: z.string(),
  rig: z.string(),
  ...teaching,
  method: z.string(),
  supplyV: z.strictObject({ from: positive, to: positive }),
  /** `told`: somebody read a thermometer; else it is what the profile allows for. */
  temperatureC: z.strictObject({ from: finite, to: finite, told: z.boolean() }),
  runs: z.array(z.strictObject({ unit: z.string(), run: z.string(), sha256: z.string() })).min(3),
  quantities: z.record(z.string(), learnedQuantity),
  /** Absent where too few units, or fewer than two readings with two limits, taught it. */
  together: learnedTogether.optional(),
  /** Quantities that give no limit, and why. */
  withoutLimits: z.record(z.string(), z.string()).optional(),
});
/** Of readings taken together each has a centre, and rows of its matrix end with the reading's own 1. */
export const learnedSchema = learnedShape.superRefine(({ together, quantities }, context) => {
  together?.readings.forEach(({ reading, correlation }, row) => {
    const path = ['together', 'readings', row];
    if (!(reading in quantities))
      context.addIssue({ code: 'custom', path, message: `${reading} has no limits among the quantities` });
    if (correlation.length !== row + 1 || correlation[row] !== 1)
      context.addIssue({
        code: 'custom',
        path,
        message: `correlation takes ${row + 1} numbers, the last of them 1`,
      });
  });
});
export type Learned = z.infer<typeof learnedSchema>;
