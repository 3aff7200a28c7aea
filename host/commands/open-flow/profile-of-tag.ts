// Which profile a tag stands for: what a job's list says of it, else what was settled of its beginning, else what this
// unit was last run as, else what the
// last unit whose tag begins alike was run as. Where none of these tells, a person is asked.

import type { Store } from '../../records/index.js';
import { beginningOf } from './tags.js';

/** So many runs back a like beginning is looked for. */
const LOOKED_AT = 200;

export function profileOfTag(
  tag: string,
  settled: Readonly<Record<string, string>>,
  store: Pick<Store, 'listRuns' | 'listedProfile'>,
): string | undefined {
  const listed = store.listedProfile(tag);
  if (listed !== undefined) return listed;
  const [beginning] = Object.keys(settled)
    .filter((one) => tag.startsWith(one))
    .sort((a, b) => b.length - a.length);
  if (beginning !== undefined) return settled[beginning];
  const [own] = store.listRuns({ tag, limit: 1 });
  if (own) return own.profileId;
  return store.listRuns({ limit: LOOKED_AT }).find((run) => beginningOf(run.tag) === beginningOf(tag))
    ?.profileId;
}
