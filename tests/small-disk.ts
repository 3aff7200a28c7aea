// A disk of a few MB in memory, for tests of what happens when it is full. Only root can make one; elsewhere such a test
// is skipped with a note.

import { execFileSync } from 'node:child_process';
import { mkdtempSync, rmSync, statfsSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';

export class SmallDisk {
  readonly folder = mkdtempSync(join(tmpdir(), 'throwbench-small-disk-'));

  constructor(megabytes: number) {
    try {
      execFileSync('mount', ['-t', 'tmpfs', '-o', `size=${megabytes}m`, 'tmpfs', this.folder], {
        stdio: 'ignore',
      });
    } catch (error) {
      rmSync(this.folder, { recursive: true });
      throw error;
    }
  }

  /** All but so many bytes. */
  fill(left = 0): void {
    const { bavail, bsize } = statfsSync(this.folder);
    writeFileSync(join(this.folder, 'filling'), Buffer.alloc(Math.max(0, bavail * bsize - left)));
  }

  /** Gives the room back. */
  empty(): void {
    rmSync(join(this.folder, 'filling'), { force: true });
  }

  /** From now on nothing can be written there. */
  setReadOnly(): void {
    execFileSync('mount', ['-o', 'remount,ro', this.folder], { stdio: 'ignore' });
  }

  remove(): void {
    execFileSync('umount', ['-l', this.folder], { stdio: 'ignore' });
    rmSync(this.folder, { recursive: true, force: true });
  }
}

/** Why no such disk can be made here; undefined where it can. */
export const noSmallDisk = ((): string | undefined => {
  try {
    new SmallDisk(1).remove();
    return undefined;
  } catch {
    return ' (skipped: no disk in memory can be mounted here; run as root)';
  }
})();
