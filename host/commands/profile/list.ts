// `profile list`: what there is to name, by kind, or the faults of one unit.

import { faultsOfUnit } from '../../circuit/index.js';
import { listProfiles, loadUnit, type ProfileKind } from '../../profile/index.js';
import { type CommandIo, EXIT, jsonText } from '../command.js';
import { tableLines } from '../table.js';
import { KIND_WORDS } from './kinds.js';

/** Ids with titles, a heading for each kind; a file that is faulty is told with its fault. */
export function list(io: CommandIo, kinds: readonly ProfileKind[], json: boolean): number {
  const found = kinds.map((kind) => ({ kind, profiles: listProfiles(kind) }));
  if (json) {
    io.stdout(jsonText(Object.fromEntries(found.map(({ kind, profiles }) => [KIND_WORDS[kind], profiles]))));
    return EXIT.pass;
  }
  const width = Math.max(...found.flatMap(({ profiles }) => profiles.map(({ id }) => id.length)), 0);
  io.stdout(
    found
      .map(({ kind, profiles }) => {
        const rows = profiles.map(({ id, title, fault }) =>
          `  ${id.padEnd(width)}  ${fault === undefined ? title : `faulty: ${fault}`}`.trimEnd(),
        );
        return [`${KIND_WORDS[kind]}:`, ...(rows.length === 0 ? ['  none'] : rows), ''].join('\n');
      })
      .join('\n'),
  );
  return EXIT.pass;
}

/** @throws InputError for a unit that is not there */
export function listFaults(io: CommandIo, profile: string, json: boolean): number {
  const unit = loadUnit(profile);
  const faults = faultsOfUnit(unit).map(({ id, sentence }) => ({ id, sentence }));
  if (json) io.stdout(jsonText(faults));
  else
    io.stdout(
      `${unit.unit.title} can have ${faults.length} faults; throwbench simulate --profile ${profile} --fault ID shows one\n\n${tableLines(
        faults.map(({ id, sentence }) => [`  ${id}`, sentence]),
      ).join('\n')}\n`,
    );
  return EXIT.pass;
}
