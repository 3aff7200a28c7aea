// What an entry is found by on the server, from what is hashed of it: worked out when it is sent, and again when it is
// verified.

import type { EntryColumns } from './tables.js';

type Row = Readonly<Record<string, unknown>>;

/** @param content what `canonical` is the text of */
export function entryColumns(content: object): EntryColumns {
  const inner = content as Readonly<Record<string, unknown>>;
  const kind = 'run' in inner ? 'run' : (Object.keys(inner)[0] ?? '');
  const row = (inner[kind] ?? {}) as Row;
  return {
    kind,
    word: told(row.kind) ?? told(row.word),
    at: told(row.at) ?? told(row.started_at),
    run_id: kind === 'run' ? told(row.id) : told(row.run_id),
    tag: told(row.tag),
    job: told(row.job),
    profile_id: told(row.profile_id),
    verdict: told(row.verdict),
    operator: told(row.operator),
    rig_id: told(row.rig_id) ?? rigOf(row.rig_json),
  };
}

/** PostgreSQL keeps no character of code 0, and no half of a pair. */
const told = (value: unknown): string | null =>
  typeof value === 'string'
    ? value.replaceAll('\0', '\u{fffd}').replace(/\p{Surrogate}/gu, '\u{fffd}')
    : null;

function rigOf(json: unknown): string | null {
  if (typeof json !== 'string') return null;
  try {
    return told((JSON.parse(json) as { rigId?: unknown } | null)?.rigId);
  } catch {
    return null;
  }
}
