// A connection to the shop's server through the query builder, with its troubles sorted.

import { Kysely, PostgresDialect } from 'kysely';
import pg from 'pg';
import type { ServerAddress } from '../server-address.js';
import { asServerError } from './server-errors.js';
import { SCHEMA, type ServerTables } from './tables.js';

export type ServerDatabase = Kysely<ServerTables>;

/**
 * The driver holds a certificate against its signer and its host name for each of these, warns that a later one may not,
 * and is told to go on with it. Who writes `uselibpqcompat` wants the weaker meaning.
 */
const withStrictTls = (url: string): string =>
  /[?&]uselibpqcompat=/.test(url)
    ? url
    : url.replace(/([?&]sslmode=)(prefer|require|verify-ca)(?=&|$)/, '$1verify-full');

export interface Patience {
  /** For the connection, and for each answer, ms. */
  connectMs: number;
  answerMs: number;
}

/** While a person waits for it. */
export const ATTENDED: Patience = { connectMs: 5000, answerMs: 60_000 };

/**
 * Connects when it is first asked for something, and ends with `use`.
 * @throws RecordError sorted by what is wrong
 */
export async function withServer<T>(
  address: ServerAddress,
  use: (database: ServerDatabase) => Promise<T>,
  { connectMs, answerMs }: Patience = ATTENDED,
): Promise<T> {
  const pool = new pg.Pool({
    connectionString: withStrictTls(address.url),
    application_name: 'throwbench',
    max: 1,
    connectionTimeoutMillis: connectMs,
    statement_timeout: answerMs,
    // The server may be gone without a word.
    query_timeout: answerMs + 5000,
    keepAlive: true,
  });
  // A server that goes away also tells those who ask for nothing; what is asked for then fails by itself.
  pool.on('error', () => {});
  pool.on('connect', (client) => client.on('error', () => {}));
  const database = new Kysely<ServerTables>({ dialect: new PostgresDialect({ pool }) });
  try {
    return await use(database.withSchema(SCHEMA));
  } catch (error) {
    throw asServerError(error, address.name);
  } finally {
    await database.destroy().catch(() => {});
  }
}
