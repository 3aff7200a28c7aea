// The tables on the server, version by version. A version that has shipped is never edited: the next one is added.
// The server itself holds the chain: an entry that does not join the one before it, or whose hash is not that of its
// text, is refused by a constraint, whoever sends it.

import { type Kysely, sql } from 'kysely';
import { RecordError } from '../record-error.js';
import { SCHEMA, type ServerTables } from './tables.js';

const VERSIONS: readonly string[] = [
  `
  CREATE TABLE benches (
    id text PRIMARY KEY CHECK (id ~ '^[0-9a-f]{64}$'),
    name text NOT NULL,
    tool_version text NOT NULL,
    known_places integer NOT NULL,
    sent_places integer NOT NULL,
    first_seen timestamptz NOT NULL DEFAULT now(),
    last_seen timestamptz NOT NULL DEFAULT now()
  );

  CREATE TABLE entries (
    bench text NOT NULL REFERENCES benches (id),
    place integer NOT NULL CHECK (place > 0),
    previous_place integer GENERATED ALWAYS AS (nullif(place, 1) - 1) STORED,
    previous_hash text NOT NULL,
    hash text NOT NULL,
    kind text NOT NULL,
    word text,
    at text,
    run_id text,
    tag text,
    job text,
    profile_id text,
    verdict text,
    operator text,
    rig_id text,
    canonical text NOT NULL,
    PRIMARY KEY (bench, place),
    UNIQUE (bench, place, hash),
    CONSTRAINT entries_join FOREIGN KEY (bench, previous_place, previous_hash) REFERENCES entries (bench, place, hash),
    CONSTRAINT entries_begin CHECK (place > 1 OR (previous_hash = repeat('0', 64) AND hash = bench)),
    CONSTRAINT entries_hold CHECK (hash = encode(sha256(convert_to(previous_hash || chr(10) || canonical, 'UTF8')), 'hex'))
  );
  CREATE INDEX entries_by_tag ON entries (tag, at);
  CREATE INDEX entries_by_job ON entries (job);
  CREATE INDEX entries_by_run ON entries (run_id);
  CREATE INDEX entries_by_profile ON entries (profile_id, verdict) WHERE kind = 'run';
  CREATE INDEX entries_by_word ON entries (bench, word);

  CREATE TABLE captures (
    bench text NOT NULL,
    place integer NOT NULL,
    run_id text NOT NULL,
    samples integer NOT NULL,
    blob bytea NOT NULL,
    PRIMARY KEY (bench, place),
    FOREIGN KEY (bench, place) REFERENCES entries (bench, place)
  );
  CREATE TABLE raw_lines (
    bench text NOT NULL,
    place integer NOT NULL,
    blob bytea NOT NULL,
    PRIMARY KEY (bench, place),
    FOREIGN KEY (bench, place) REFERENCES entries (bench, place)
  );
  CREATE TABLE signatures (
    bench text NOT NULL,
    place integer NOT NULL,
    key_id text NOT NULL,
    signature bytea NOT NULL,
    PRIMARY KEY (bench, place),
    FOREIGN KEY (bench, place) REFERENCES entries (bench, place)
  );
  -- Packed already.
  ALTER TABLE captures ALTER COLUMN blob SET STORAGE EXTERNAL;
  ALTER TABLE raw_lines ALTER COLUMN blob SET STORAGE EXTERNAL;

  CREATE FUNCTION only_added() RETURNS trigger LANGUAGE plpgsql AS $$
    BEGIN RAISE EXCEPTION 'rows of % are only added', TG_TABLE_NAME; END $$;
  ${['entries', 'captures', 'raw_lines', 'signatures']
    .map(
      (table) =>
        `CREATE TRIGGER ${table}_only_added BEFORE UPDATE OR DELETE OR TRUNCATE ON ${table} EXECUTE FUNCTION only_added();`,
    )
    .join('\n')}
  `,
];

export const NEWEST_SERVER_VERSION = VERSIONS.length;

/** PostgreSQL as it counts itself: generated columns came with 12. */
const OLDEST_POSTGRES = 120000;

/** Undefined where nothing has been set up. */
export async function serverVersion(database: Kysely<ServerTables>): Promise<number | undefined> {
  const { rows } = await sql<{ there: boolean }>`
    SELECT to_regclass(${`${SCHEMA}.versions`}) IS NOT NULL AS there`.execute(database);
  if (rows[0]?.there !== true) return undefined;
  const found = await database
    .selectFrom('versions')
    .select((of) => of.fn.max('number').as('number'))
    .executeTakeFirst();
  return found?.number ?? undefined;
}

/** @throws RecordError where it is not as this program writes it; it is then left as it is */
export async function mustBeNewest(database: Kysely<ServerTables>, name: string): Promise<void> {
  const version = await serverVersion(database);
  if (version === undefined)
    throw new RecordError(
      'server-not-set-up',
      `the shop's server ${name} is not set up yet`,
      'throwbench store setup does it',
    );
  refuseNewer(version, name);
  if (version < NEWEST_SERVER_VERSION)
    throw new RecordError(
      'server-older',
      `the shop's server ${name} was set up by an older version of this program (version ${version}, known ${NEWEST_SERVER_VERSION})`,
      'throwbench store setup brings it up',
    );
}

function refuseNewer(version: number, name: string): void {
  if (version > NEWEST_SERVER_VERSION)
    throw new RecordError(
      'server-newer',
      `the shop's server ${name} was set up by a newer version of this program (version ${version}, known ${NEWEST_SERVER_VERSION})`,
      'update this program; the records stay here',
    );
}

/**
 * Brings the server to the newest version, all of it or nothing; two programs at once wait for each other.
 * @returns the version that it had
 * @throws RecordError when a newer program made it, or PostgreSQL is not fit for it
 */
export function migrateServer(database: Kysely<ServerTables>, name: string): Promise<number> {
  return database.transaction().execute(async (within) => {
    await sql`SELECT pg_advisory_xact_lock(hashtext('throwbench setup'))`.execute(within);
    const version = (await serverVersion(within)) ?? 0;
    refuseNewer(version, name);
    if (version === NEWEST_SERVER_VERSION) return version;
    await refuseUnfit(within, name);
    await sql`CREATE SCHEMA IF NOT EXISTS ${sql.id(SCHEMA)}`.execute(within);
    await sql`CREATE TABLE IF NOT EXISTS ${sql.table(`${SCHEMA}.versions`)} (number integer PRIMARY KEY, made_at timestamptz NOT NULL DEFAULT now())`.execute(
      within,
    );
    await sql`SET LOCAL search_path TO ${sql.id(SCHEMA)}`.execute(within);
    for (const [before, text] of VERSIONS.entries()) {
      if (before < version) continue;
      await sql.raw(text).execute(within);
      await within
        .insertInto('versions')
        .values({ number: before + 1 })
        .execute();
    }
    return version;
  });
}

async function refuseUnfit(database: Kysely<ServerTables>, name: string): Promise<void> {
  const { rows } = await sql<{ postgres: number; encoding: string }>`
    SELECT current_setting('server_version_num')::integer AS postgres, current_setting('server_encoding') AS encoding`.execute(
    database,
  );
  const { postgres = 0, encoding = '' } = rows[0] ?? {};
  const [what, advice] =
    postgres < OLDEST_POSTGRES
      ? ['runs a PostgreSQL before 12', 'update PostgreSQL on the server']
      : encoding !== 'UTF8'
        ? [`has a database in ${encoding}`, 'make the database with the encoding UTF8']
        : [];
  if (what !== undefined && advice !== undefined)
    throw new RecordError('server-unfit', `the shop's server ${name} ${what}`, advice);
}
