// The store of runs: one SQLite file. A run is durable before its verdict is shown (WAL, synchronous=FULL), is kept
// piece by piece while it goes on, and joins a hash chain when it is closed. Several programs may use it at once.

import { accessSync, constants, mkdirSync } from 'node:fs';
import { dirname, join } from 'node:path';
import Sqlite, { type Database } from 'better-sqlite3';
import { known } from '../fields/index.js';
import { displayPath } from '../input/index.js';
import { type Archive, provenCopies } from './archive.js';
import { copyStore, keepBeforeMigration } from './backup.js';
import { type Bench, benchesOf } from './benches.js';
import { type Verification, type VerifyAsked, verifyChain } from './chain.js';
import { logsDir, STORE_FILE } from './location.js';
import { migrate } from './migrations.js';
import { copyToRead, type ReadCopy } from './read-only.js';
import { asRecordError, RecordError } from './record-error.js';
import { closeOrphans } from './recover.js';
import { BUSY_TIMEOUT_MS, RunStore } from './run-store.js';
import { type Signer, shopSigner } from './signing.js';

const { W_OK } = constants;

/**
 * Opens the store in `dir`, made when it is not there; default: THROWBENCH_LOGS, else logs/. Runs that a program left
 * open when it died are closed as aborted with what they had sampled.
 * @throws RecordError
 */
export function openStore(dir?: string): Store {
  const folder = logsDir(dir);
  const path = join(folder, STORE_FILE);
  const guard = guardOf(path);
  // First, so that nothing is left open where the key is no key.
  const signer = shopSigner();
  const database = guard(() => {
    mkdirSync(folder, { recursive: true });
    return openDatabase(path);
  });
  const store = new SqliteStore(path, database, signer);
  guard(() => closeOrphans(database, (runId, abort) => store.abortRun(runId, abort)));
  return guarded(store, guard);
}

/**
 * The same for who only asks: where the disk may not be written, or is full, from a copy, which then takes nothing in. What is asked of
 * it as it stood is told; a run that was left open stays so, as also where the shop's key cannot sign what would be written.
 * @param onTrouble is told of a key that cannot be used
 * @throws RecordError
 */
export function openStoreToRead(dir?: string, onTrouble: (error: RecordError) => void = () => {}): Store {
  const path = join(logsDir(dir), STORE_FILE);
  try {
    return openStore(dir);
  } catch (error) {
    if (!(error instanceof RecordError)) throw error;
    if (error.code !== 'key-unusable') return fromCopy(path, error);
    onTrouble(error);
    try {
      return openUnsigned(path);
    } catch (barred) {
      return fromCopy(path, barred);
    }
  }
}

/** @throws what barred the way to the store itself, where a copy is no help or cannot be made */
function fromCopy(path: string, error: unknown): Store {
  const isBarred =
    error instanceof RecordError &&
    ['store-read-only', 'store-unreachable', 'store-full'].includes(error.code);
  const store = isBarred ? readFromCopy(path) : undefined;
  if (store === undefined) throw error;
  return store;
}

/** Takes nothing in, so that no record is left unsigned in a shop that signs. @throws RecordError */
function openUnsigned(path: string): Store {
  const guard = guardOf(path);
  return guard(() => {
    const database = openDatabase(path);
    database.pragma('query_only = ON');
    return guarded(new SqliteStore(path, database, undefined), guard);
  });
}

/** Undefined where it cannot be read either. */
function readFromCopy(path: string): Store | undefined {
  let copy: ReadCopy | undefined;
  try {
    copy = copyToRead(path);
    if (copy === undefined) return undefined;
    const database = openDatabase(copy.path, displayPath(path));
    database.pragma('query_only = ON');
    const store = new SqliteStore(path, database, undefined, copy.remove);
    return guarded(store, guardOf(path));
  } catch {
    copy?.remove();
    return undefined;
  }
}

type Guard = <T>(action: () => T) => T;

/** Sorts the errors of SQLite, named by the store's own file. */
function guardOf(path: string): Guard {
  const name = displayPath(path);
  return (action) => {
    try {
      return action();
    } catch (error) {
      throw asRecordError(error, name);
    }
  };
}

/** @param name of the store, for messages */
function openDatabase(path: string, name = displayPath(path)): Database {
  const database = new Sqlite(path, { timeout: BUSY_TIMEOUT_MS });
  try {
    setWal(database);
    database.pragma('synchronous = FULL');
    database.pragma('foreign_keys = ON');
    database.pragma('trusted_schema = OFF');
    keepBeforeMigration(database, path);
    migrate(database, name);
    return database;
  } catch (error) {
    database.close();
    // SQLite does not tell a folder in which it may make no log from one that is not there.
    if (/^SQLITE_CANTOPEN/.test((error as { code?: string }).code ?? '')) accessSync(dirname(path), W_OK);
    throw error;
  }
}

/** The change to WAL does not wait for others by itself, so it is tried a few times. */
function setWal(database: Database): void {
  for (let attempt = 1; ; attempt++) {
    try {
      database.pragma('journal_mode = WAL');
      return;
    } catch (error) {
      if (attempt === 50 || !/^SQLITE_BUSY/.test((error as { code?: string }).code ?? '')) throw error;
      Atomics.wait(new Int32Array(new SharedArrayBuffer(4)), 0, 0, 50);
    }
  }
}

/** The same store, with the errors of SQLite sorted whatever is called. */
const guarded = (store: SqliteStore, guard: Guard): Store =>
  new Proxy(store, {
    get(target, key) {
      const value: unknown = Reflect.get(target, key, target);
      return typeof value === 'function'
        ? (...args: unknown[]) => guard(() => value.apply(target, args))
        : value;
    },
  });

class SqliteStore extends RunStore {
  constructor(
    override readonly file: string,
    database: Database,
    signer: Signer | undefined,
    private readonly onClose?: () => void,
  ) {
    super(database, signer);
  }

  /** Rigs and computers that have written here. */
  listBenches(): Bench[] {
    return benchesOf(this.database);
  }

  /** Of each closed run the hash of the newest record about it: the run itself, or what was added to it later. */
  newestHashes(): Map<string, string> {
    const rows = this.database
      .prepare('SELECT run_id AS runId, hash FROM chain WHERE run_id IS NOT NULL ORDER BY place')
      .all() as { runId: string; hash: string }[];
    return new Map(rows.map(({ runId, hash }) => [runId, hash]));
  }

  /** Hash of the oldest record of the chain, which tells one store from another; undefined while there is none. */
  firstHash(): string | undefined {
    return this.database.prepare('SELECT hash FROM chain ORDER BY place LIMIT 1').pluck().get() as
      | string
      | undefined;
  }

  /** Recomputes the whole hash chain, and holds the signatures against the key. @param expect the beginning of a hash */
  verify(expect?: string, key?: VerifyAsked['key']): Verification {
    // One transaction: a run closed meanwhile is either in or out.
    return this.database.transaction(() => verifyChain(this.database, { expect, key }))();
  }

  /** A whole copy of one moment, read back; also while others write. `file` must not be there. */
  backup(file: string): void {
    // A copy to read from takes nothing in, and may still be copied.
    const isToRead = this.database.pragma('query_only', { simple: true }) === 1;
    if (isToRead) this.database.pragma('query_only = OFF');
    try {
      copyStore(this.database, file);
    } finally {
      if (isToRead) this.database.pragma('query_only = ON');
    }
  }

  /** Closed runs that began before then and still have their samples, oldest first. @param before ISO 8601 */
  sampledBefore(before: string): { runId: string; samples: number }[] {
    return this.database
      .prepare(
        `SELECT run_id AS runId, samples FROM captures JOIN runs ON runs.id = run_id
         WHERE started_at < ? AND status <> 'running' ORDER BY started_at, run_id`,
      )
      .all(before) as { runId: string; samples: number }[];
  }

  /**
   * Takes the samples of runs out, where the archive holds the same ones; record, readings, verdict and hash stay. Each
   * removal is an entry. All of them, or none.
   * @throws RecordError archive-differs
   */
  removeSamples(runIds: readonly string[], archive: Archive, operator?: string): void {
    this.together(() => {
      for (const { runId, samples, sha256 } of provenCopies(this.database, archive.path, runIds)) {
        const content = {
          kind: 'samples-removed' as const,
          ...{ samples, captureSha256: sha256, exportFile: archive.name, exportSha256: archive.sha256 },
        };
        const id = this.addShopEntry({ runId, content, ...known({ operator }) });
        this.run(
          'INSERT INTO removed_captures (run_id, samples, sha256, shop_entry_id) VALUES (?, ?, ?, ?)',
          ...[runId, samples, sha256, id],
        );
        this.run('DELETE FROM captures WHERE run_id = ?', runId);
      }
    });
  }

  /** Gives the room of what was taken out back to the disk; false where another program holds the store. */
  shrink(): boolean {
    try {
      this.database.exec('VACUUM');
      this.database.pragma('wal_checkpoint(TRUNCATE)');
      return true;
    } catch (error) {
      if (/^SQLITE_(BUSY|LOCKED)/.test((error as { code?: string }).code ?? '')) return false;
      throw error;
    }
  }

  close(): void {
    this.database.close();
    this.onClose?.();
  }
}

/** What others see of it. */
export type Store = Pick<SqliteStore, keyof SqliteStore>;
