// An archive: a whole copy of a store, by which samples may leave the store itself once they are read back from it.

import { createHash } from 'node:crypto';
import { closeSync, openSync, readSync } from 'node:fs';
import Sqlite, { type Database } from 'better-sqlite3';
import { unpackCapture } from './capture-blob.js';
import { sha256 } from './chain-link.js';
import { RecordError } from './record-error.js';

export interface Archive {
  /** The file, and what records call it from then on. */
  path: string;
  name: string;
  sha256: string;
}

export interface ProvenCopy {
  runId: string;
  samples: number;
  /** Of the capture as both hold it. */
  sha256: string;
}

/**
 * Reads each capture back from the archive and holds it against the store's.
 * @throws RecordError archive-differs where one is not there, not the same, or cannot be unpacked
 */
export function provenCopies(database: Database, archive: string, runIds: readonly string[]): ProvenCopy[] {
  const sql = 'SELECT samples, blob FROM captures WHERE run_id = ?';
  const copy = new Sqlite(archive, { readonly: true, fileMustExist: true });
  try {
    const [own, other] = [database.prepare(sql), copy.prepare(sql)];
    return runIds.map((runId) => {
      const [mine, theirs] = [own, other].map(
        (statement) => statement.get(runId) as { samples: number; blob: Uint8Array } | undefined,
      );
      if (mine === undefined || theirs === undefined || sha256(mine.blob) !== sha256(theirs.blob))
        throw differs(archive, runId);
      if (unpackCapture(theirs.blob).timeS.length !== mine.samples) throw differs(archive, runId);
      return { runId, samples: mine.samples, sha256: sha256(mine.blob) };
    });
  } finally {
    copy.close();
  }
}

const differs = (archive: string, runId: string): RecordError =>
  new RecordError(
    'archive-differs',
    `${archive}: does not hold the samples of run ${runId} as the store does`,
    'nothing was taken out; check the disk and archive again',
  );

/** Piece by piece, since an archive may be larger than memory. */
export function fileSha256(path: string): string {
  const hash = createHash('sha256');
  const piece = Buffer.alloc(1 << 20);
  const file = openSync(path, 'r');
  try {
    for (let count = readSync(file, piece); count > 0; count = readSync(file, piece))
      hash.update(piece.subarray(0, count));
  } finally {
    closeSync(file);
  }
  return hash.digest('hex');
}
