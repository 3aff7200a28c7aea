// What a run has measured outlives a store that cannot be written: another program's hold is waited out, and where the
// store stays shut the capture goes into a file beside it, or where the system keeps its temporary files.

import { rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { dirname, join } from 'node:path';
import type { Capture } from '../capture/index.js';
import { troubleOf } from './trouble.js';
import type { Emit, RunStore } from './unit-job.js';

/** Each waits as long as the store itself does, 5 s. */
const TRIES = 4;

export interface Kept {
  store: RunStore;
  runId: string;
  tag: string;
  capture: Capture | undefined;
  emit: Emit;
}

/** @throws RecordError that says where the capture lies, when the store could not be written */
export async function keepRun(write: () => void, kept: Kept): Promise<void> {
  for (let tries = 1; ; tries++) {
    try {
      write();
      return;
    } catch (error) {
      const code = codeOf(error);
      if (code === undefined) throw error;
      if (code !== 'store-busy' || tries === TRIES) throw await rescued(error as Error, kept);
      if (tries === 1) kept.emit(troubleOf(error, 'Close it: the run is measured and waits to be recorded.'));
      // Lets what was told out, and signals in.
      await new Promise((resolve) => setTimeout(resolve, 10));
    }
  }
}

/** Of trouble with the store; undefined for a fault of this program. */
function codeOf(error: unknown): string | undefined {
  if (!(error instanceof Error) || error.name !== 'RecordError' || !('code' in error)) return undefined;
  return String(error.code);
}

async function rescued(error: Error, { store, runId, tag, capture }: Kept): Promise<Error> {
  if (capture === undefined) return error;
  const { writeCaptureCsv } = await import('../capture/index.js');
  const { RecordError } = await import('../records/index.js');
  const bytes = writeCaptureCsv(capture);
  const name = `${runId}-${tag.replace(/[^\w.-]/g, '_')}.csv`;
  for (const folder of [...(store.file === undefined ? [] : [dirname(store.file)]), tmpdir()]) {
    const path = join(folder, name);
    try {
      writeFileSync(path, bytes, { flag: 'wx' });
    } catch (trouble) {
      // A disk that fills up leaves the beginning of a file, which would pass for the run.
      if ((trouble as NodeJS.ErrnoException).code !== 'EEXIST') rmSync(path, { force: true });
      continue;
    }
    return new RecordError(
      (error as InstanceType<typeof RecordError>).code,
      `${error.message}; the capture of ${tag} is kept in ${path}`,
      `throwbench judge ${path} --profile P judges it`,
      { cause: error },
    );
  }
  return error;
}
