// A unit of which nobody has a model: what a clamp showed of known good ones, and nothing of any circuit. Written by the
// program, read by a person.

import * as z from 'zod';
import { checkShape } from './check-shape.js';
import { learnedQuantity, teaching } from './learned.js';
import { YamlFile } from './yaml-file.js';

export const clampOnlySchema = z.strictObject({
  kind: z.literal('clamp'),
  /** Of this file's make-up. */
  version: z.literal(1),
  title: z.string().min(1).max(60),
  ...teaching,
  runs: z.array(z.strictObject({ unit: z.string(), run: z.string(), sha256: z.string() })).min(3),
  quantities: z.record(z.string(), learnedQuantity),
  /** Quantities that give no limit, and why. */
  withoutLimits: z.record(z.string(), z.string()).optional(),
});
export type ClampOnly = z.infer<typeof clampOnlySchema>;

/** @throws InputError for a file that is none */
export const readClampOnly = (path: string): ClampOnly => checkShape(clampOnlySchema, YamlFile.read(path));
