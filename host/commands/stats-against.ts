// How the units of the record sit within limits that others taught: the newest judged run of each, by the engine of
// `learn --against`.

import { InputError } from '../input/index.js';
import { loadUnit } from '../profile/index.js';
import type { RunQuery } from '../records/index.js';
import type { CommandIo } from './command.js';
import { batchAgainst } from './learn-batch.js';
import { storePlace, withStore } from './stored-runs.js';

export interface StatsAgainst {
  /** An id, or the path of a file. */
  profile: string;
  /** File of the limits. */
  against: string;
  json: boolean;
}

/** The exit code: 0 all within the limits, 1 a unit lies outside. @throws InputError */
export function statsAgainst(io: CommandIo, query: RunQuery, asked: StatsAgainst): number {
  const profile = loadUnit(asked.profile).unit.id;
  const runs = withStore((store) => {
    const { tag } = query;
    const named = tag === undefined ? {} : { tag: store.tagAsKnown(tag) };
    return store.listRuns({ ...query, ...named, profile });
  });
  // Of a unit that was mended and run again, as it left the bench: newest first.
  const newest = new Map<string, string>();
  for (const { status, tag, runId } of runs ?? [])
    if (status === 'finished' && !newest.has(tag)) newest.set(tag, runId);
  if (newest.size === 0)
    throw new InputError({
      file: storePlace(),
      what: `no such judged runs of ${profile}`,
      mend: 'throwbench log lists what there is',
    });
  const batch = { ...asked, runs: [...newest.values()].join(',') };
  return batchAgainst(batch, io, { leavesOut: true, of: 'The newest judged run of each unit counts.' });
}
