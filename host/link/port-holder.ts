// Which program holds a port, as far as the system tells: on Linux by the open files of this user's processes (proc(5)).
// Elsewhere, and of other users' programs, nothing is told.

import { readdirSync, readFileSync, readlinkSync, realpathSync } from 'node:fs';
import { basename } from 'node:path';

const VIRTUAL_RIG = 'throwbench virtual';

/** In words for an operator: `throwbench tray (process 812)`; undefined where it is not known. Never throws. */
export function holderOf(path: string): string | undefined {
  try {
    const device = realpathSync(path);
    const processes = readdirSync('/proc').filter((name) => /^\d+$/.test(name));
    const holders = processes
      .filter((id) => Number(id) !== process.pid && holds(id, device))
      .map((id) => ({ id, ...programOf(id) }));
    // What serves a pseudo-terminal holds it too, and so does a virtual rig behind one.
    const holder =
      holders.find(({ isOurs, words }) => isOurs && words !== VIRTUAL_RIG) ??
      holders.find(({ isOurs }) => isOurs) ??
      holders[0];
    return holder && `${holder.words} (process ${holder.id})`;
  } catch {
    return undefined;
  }
}

function holds(id: string, device: string): boolean {
  try {
    return readdirSync(`/proc/${id}/fd`).some((fd) => linkOf(`/proc/${id}/fd/${fd}`) === device);
  } catch {
    // Another user's, or gone meanwhile.
    return false;
  }
}

function linkOf(path: string): string | undefined {
  try {
    return readlinkSync(path);
  } catch {
    return undefined;
  }
}

/** This program by its verb, others by their own name. */
function programOf(id: string): { words: string; isOurs: boolean } {
  const words = readFileSync(`/proc/${id}/cmdline`, 'utf8').split('\0');
  const at = words.findIndex((word) => /^(cli\.[jt]s|throwbench)$/.test(basename(word)));
  if (at < 0) return { words: readFileSync(`/proc/${id}/comm`, 'utf8').trim(), isOurs: false };
  const verb = words[at + 1] ?? '';
  return { words: /^[a-z]+$/.test(verb) ? `throwbench ${verb}` : 'throwbench', isOurs: true };
}
