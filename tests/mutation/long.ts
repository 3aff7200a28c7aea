// A test that takes seconds by itself, beside others that do not: left out of a mutation run, where it would run for
// nearly every mutant.

import { it } from 'vitest';

export const itTakesLong = it.skipIf(process.env.MUTANTS_COUNT !== undefined);
