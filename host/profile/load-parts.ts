// All parts of all files under parts/: those that come with the program, then a person's own, which add to them or stand
// in place of those of the same id.

import { looksLikePath, profileIds, resolveProfile } from './library.js';
import { dirsOfUnit, openProfile } from './load.js';
import { PARTS_LISTS, type Parts, type PartsListName } from './parts.js';

/** What is looked for beside the profile folders. */
export interface PartsBeside {
  /** A unit's own file, as typed: what lies beside it counts as for its motor. */
  unit?: string | undefined;
  /** One more file of parts, or its id; it stands over all others. */
  also?: string | undefined;
}

/**
 * @throws InputError for a file that is faulty, an id that two files of one folder have, or one that is another sort of
 * part elsewhere
 */
export function loadParts({ unit, also }: PartsBeside = {}): Parts {
  const dirs = dirsOfUnit(unit);
  const found = dirs
    .toReversed()
    .flatMap((dir) => profileIds('parts', [dir]).map((id) => ({ ref: id, dirs: [dir] })));
  const files = also === undefined ? found : [...found, { ref: also, dirs }];
  const known = new Map<string, Place>();
  let parts: Parts = { switches: [], relays: [], fuses: [], wires: [], connectors: [] };
  for (const [at, { ref, dirs: from }] of files.entries()) {
    const path = resolveProfile('parts', ref, from);
    const { file, value } = openProfile('parts', path, looksLikePath(ref));
    // One more file of a call stands in a place of its own.
    const dir = at < found.length ? from[0] : undefined;
    for (const list of PARTS_LISTS) {
      for (const [index, { id }] of value[list].entries()) {
        const refused = clash(id, { list, dir, name: file.name }, known.get(id));
        if (refused) throw file.fault([list, index, 'id'], ...refused);
        known.set(id, { list, dir, name: file.name });
      }
    }
    parts = {
      switches: over(parts.switches, value.switches),
      relays: over(parts.relays, value.relays),
      fuses: over(parts.fuses, value.fuses),
      wires: over(parts.wires, value.wires),
      connectors: over(parts.connectors, value.connectors),
    };
  }
  return parts;
}

interface Place {
  list: PartsListName;
  dir: string | undefined;
  /** Of the file. */
  name: string;
}

function clash(id: string, own: Place, before: Place | undefined): [what: string, mend: string] | undefined {
  if (before === undefined) return undefined;
  if (before.list !== own.list)
    return [`'${id}' is among the ${before.list} in ${before.name}`, 'give this part an id of its own'];
  if (before.dir === own.dir) return [`'${id}' stands already in ${before.name}`, 'keep one of the two'];
  return undefined;
}

/** What comes later stands in place of what has the same id. */
const over = <P extends { id: string }>(before: readonly P[], own: readonly P[]): P[] => [
  ...before.filter(({ id }) => !own.some((part) => part.id === id)),
  ...own,
];
