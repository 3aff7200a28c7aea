// Limits that known good units have taught: a part of a profile, written by the program and read by a person.

import { z } from 'zod';

const finite = z.number();
const positive = z.number().positive();
const part = z.number().gt(0).lt(1);

/** One quantity of one stretch; the key under which it stands is that of `measure --json`. */
const learnedQuantity = z.strictObject({
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

export const learnedSchema = z.strictObject({
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
  learnedOn: z.string(),
  tool: z.string(),
  units: z.int().min(3),
  starts: z.int().min(3),
  /** Of the whole verdict: all limits together hold this part of good units, with this confidence. */
  coverage: part,
  confidence: part,
  method: z.string(),
  supplyV: z.strictObject({ from: positive, to: positive }),
  /** `told`: somebody read a thermometer; else it is what the profile allows for. */
  temperatureC: z.strictObject({ from: finite, to: finite, told: z.boolean() }),
  runs: z.array(z.strictObject({ unit: z.string(), run: z.string(), sha256: z.string() })).min(3),
  quantities: z.record(z.string(), learnedQuantity),
  /** Quantities that give no limit, and why. */
  withoutLimits: z.record(z.string(), z.string()).optional(),
});
export type Learned = z.infer<typeof learnedSchema>;
