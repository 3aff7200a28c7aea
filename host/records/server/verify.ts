// Walks every bench's chain on the server, with the walk and the signatures that the store on the bench is verified by.
// What the server adds to that, columns to find entries by and packed samples, is held against the hashed text.

import { sql } from 'kysely';
import { known } from '../../fields/index.js';
import type { About, ChainFault } from '../chain-link.js';
import { sha256 } from '../chain-link.js';
import { SignatureCheck, type SignaturesFound, type SignaturesKept } from '../chain-signatures.js';
import { ChainWalk } from '../chain-walk.js';
import type { PublicKey } from '../signing.js';
import type { ServerDatabase } from './connect.js';
import { entryColumns } from './entry-columns.js';
import type { BenchesTable, EntriesTable } from './tables.js';
import { mustBeNewest } from './versions.js';

export interface BenchVerified {
  /** Hash of the first entry of its chain. */
  bench: string;
  /** Of the computer. */
  name: string;
  entries: number;
  runs: number;
  /** Entries that the bench has and the server has not yet, as far as the server was told. */
  toCome: number;
  lastHash?: string;
  faults: ChainFault[];
  signatures: SignaturesFound;
}

export interface ServerVerifyAsked {
  /** Of the server, as it may be shown. */
  name: string;
  /** Of the shop, known from elsewhere than the server. */
  key?: PublicKey | undefined;
}

/** Entries in memory at once. */
const PAGE = 500;

/** One moment of the server, bench by bench. */
export async function verifyServer(
  server: ServerDatabase,
  { name, key }: ServerVerifyAsked,
): Promise<BenchVerified[]> {
  await mustBeNewest(server, name);
  return server
    .transaction()
    .setIsolationLevel('repeatable read')
    .setAccessMode('read only')
    .execute(async (within) => {
      const benches = await within
        .selectFrom('benches')
        .selectAll()
        .orderBy('first_seen')
        .orderBy('id')
        .execute();
      const found: BenchVerified[] = [];
      for (const bench of benches) found.push(await verifyBench(within, bench, key));
      return found;
    });
}

interface Kept extends EntriesTable {
  capture_sha256: string | null;
  capture_samples: number | null;
  raw_lines_sha256: string | null;
}

async function verifyBench(
  server: ServerDatabase,
  { id: bench, name, known_places: knownPlaces, sent_places: sentPlaces }: BenchesTableRow,
  key: PublicKey | undefined,
): Promise<BenchVerified> {
  const walk = new ChainWalk();
  const signatures = new SignatureCheck(await signaturesOn(server, bench), key);
  const samples = new SamplesCheck();
  const faults: ChainFault[] = [];
  const counts = { entries: 0, runs: 0 };
  let place = 0;
  for (let rows = await page(server, bench, place); rows.length > 0; rows = await page(server, bench, place))
    for (const row of rows) {
      place = row.place;
      counts.entries += 1;
      if (row.kind === 'run') counts.runs += 1;
      const of = aboutOf(row);
      const what = row.kind === 'run' ? 'its record' : `entry ${row.place}`;
      const computed = sha256(`${row.previous_hash}\n${row.canonical}`);
      walk.take({
        ...{ place, previousHash: row.previous_hash, hash: row.hash, computed, of, what },
        written: row.kind === 'run' ? 'closed' : 'written',
      });
      signatures.take(row, of);
      if (computed === row.hash) faults.push(...besides(row, of, samples));
    }
  const gone = sentPlaces - place;
  if (gone > 0)
    faults.push({
      sentence: `the newest ${gone === 1 ? 'entry is' : `${gone} entries are`} gone; the bench may still have them`,
    });
  const toCome = Math.max(0, knownPlaces - Math.max(place, sentPlaces));
  // The entry of their removal may be among those.
  if (toCome === 0) faults.push(...samples.missing());
  return {
    ...{ bench, name, ...counts, toCome },
    ...known({ lastHash: walk.lastHash }),
    faults: [...walk.faults, ...faults],
    signatures: signatures.found(),
  };
}

type BenchesTableRow = Pick<BenchesTable, 'id' | 'name' | 'known_places' | 'sent_places'>;

const page = (server: ServerDatabase, bench: string, behind: number): Promise<Kept[]> =>
  server
    .selectFrom('entries')
    .leftJoin('captures', (on) =>
      on.onRef('captures.bench', '=', 'entries.bench').onRef('captures.place', '=', 'entries.place'),
    )
    .leftJoin('raw_lines', (on) =>
      on.onRef('raw_lines.bench', '=', 'entries.bench').onRef('raw_lines.place', '=', 'entries.place'),
    )
    .selectAll('entries')
    // Their bytes stay where they are.
    .select([
      sql<string | null>`encode(sha256(captures.blob), 'hex')`.as('capture_sha256'),
      'captures.samples as capture_samples',
      sql<string | null>`encode(sha256(raw_lines.blob), 'hex')`.as('raw_lines_sha256'),
    ])
    .where('entries.bench', '=', bench)
    .where('entries.place', '>', behind)
    .orderBy('entries.place')
    .limit(PAGE)
    .execute();

const aboutOf = ({ run_id, rig_id, tag, job }: EntriesTable): About =>
  run_id === null
    ? known({ rigId: rig_id ?? undefined, tag: tag ?? undefined, job: job ?? undefined })
    : { runId: run_id };

/** What stands beside the hashed text, which itself was seen to hold. */
function besides(row: Kept, of: About, samples: SamplesCheck): ChainFault[] {
  const content = JSON.parse(row.canonical) as Content;
  const faults: ChainFault[] = [];
  const columns = Object.entries(entryColumns(content)).filter(
    ([column, value]) => row[column as keyof Kept] !== value,
  );
  if (columns.length > 0)
    faults.push({ ...of, sentence: `what entry ${row.place} is found by was changed on the server` });
  samples.removedBy(content);
  const { capture, run } = content;
  if (run === undefined) return faults;
  const sha = row.capture_sha256;
  if (capture && sha === null) samples.lacks(capture.sha256, of);
  else if (sha !== (capture?.sha256 ?? null) || row.capture_samples !== (capture?.samples ?? null))
    faults.push({ ...of, sentence: 'its samples were changed on the server' });
  if (row.raw_lines_sha256 !== (run.raw_lines ?? null))
    faults.push({ ...of, sentence: 'its lines of the link were changed on the server' });
  return faults;
}

interface Content {
  run?: { raw_lines?: string };
  capture?: { samples: number; sha256: string } | null;
  shopEntry?: { kind: string; content_json: string };
}

/** Samples that were taken out on the bench before they were sent: an entry behind the run tells of it. */
class SamplesCheck {
  readonly #lacking = new Map<string, About[]>();

  lacks(hash: string, of: About): void {
    this.#lacking.set(hash, [...(this.#lacking.get(hash) ?? []), of]);
  }

  removedBy({ shopEntry }: Content): void {
    if (shopEntry?.kind !== 'samples-removed') return;
    const { captureSha256 } = JSON.parse(shopEntry.content_json) as { captureSha256?: string };
    if (captureSha256 !== undefined) this.#lacking.delete(captureSha256);
  }

  missing(): ChainFault[] {
    return [...this.#lacking.values()].flat().map((of) => ({
      ...of,
      sentence: 'its samples are not on the server, and no entry tells of their removal',
    }));
  }
}

async function signaturesOn(server: ServerDatabase, bench: string): Promise<SignaturesKept> {
  const signatures = await server
    .selectFrom('signatures')
    .select(['place', 'key_id', 'signature'])
    .where('bench', '=', bench)
    .execute();
  const named = await server
    .selectFrom('entries')
    .select('canonical')
    .where('bench', '=', bench)
    .where('kind', '=', 'shopEntry')
    .where('word', '=', 'signing-key')
    .orderBy('place')
    .execute();
  return { signatures, keys: named.flatMap(({ canonical }) => keyIn(canonical)) };
}

/** Empty where the text was changed into something else; the walk tells of it. */
function keyIn(canonical: string): PublicKey[] {
  try {
    const { shopEntry } = JSON.parse(canonical) as Content;
    const { keyId, publicKeyPem } = JSON.parse(shopEntry?.content_json ?? '{}') as Partial<PublicKey>;
    return keyId === undefined || publicKeyPem === undefined ? [] : [{ keyId, publicKeyPem }];
  } catch {
    return [];
  }
}
