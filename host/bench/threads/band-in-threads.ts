// The band of good units from many draws, over several threads; the same as from one, to the last bit.

import { availableParallelism } from 'node:os';
import { type Band, Draws, type DrawsOptions } from '../../circuit/index.js';
import type { ResolvedUnit } from '../../profile/index.js';
import { Helpers } from './helpers.js';

/** A thread takes about a second to start and to warm up, in which one that is warm draws this many. */
const DRAWS_WORTH_A_THREAD = 250;

/** Waits in this thread. @throws CircuitError when the profile's circuit cannot be solved. */
export function bandInThreads(
  unit: ResolvedUnit,
  options: Partial<DrawsOptions> & Pick<DrawsOptions, 'draws'>,
  threads = Math.min(availableParallelism(), Math.floor(options.draws / DRAWS_WORTH_A_THREAD)),
): Band {
  const work = new Draws(unit, options);
  if (threads < 2) return work.finish();
  const helpers = new Helpers(unit, [{ of: 'band', options: work.options }], threads - 1);
  try {
    return helpers.together(work, 0).finish();
  } finally {
    helpers.close();
  }
}
