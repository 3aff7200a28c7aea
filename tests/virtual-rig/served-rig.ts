// The virtual rig behind a pseudo-terminal, as `throwbench virtual --stdio` serves it, for tests through the native
// binding. Needs socat; the gate installs it, so that its absence there is a failure and not a skip.

import { type ChildProcess, execFileSync, spawn } from 'node:child_process';
import { existsSync, mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { wallClock } from '../../host/link/index.js';
import { ROOT } from '../rules/source-tree.js';

const hasSocat = (() => {
  try {
    execFileSync('socat', ['-V'], { stdio: 'ignore' });
    return true;
  } catch {
    return false;
  }
})();

export const isSkipped = !hasSocat && !process.env.CI;
export const skipNote = isSkipped ? ' (skipped: socat is not installed; apt-get install socat)' : '';

export class ServedRig {
  readonly #folder = mkdtempSync(join(tmpdir(), 'throwbench-pty-'));
  readonly path = join(this.#folder, 'rig');
  #socat: ChildProcess | undefined;
  complaints = '';

  async start(profile: string): Promise<void> {
    if (!hasSocat) throw new Error('socat is missing: this test must run in CI; install it in the gate');
    const serve = `${process.execPath} --import tsx host/cli.ts virtual --stdio --profile ${profile}`;
    this.#socat = spawn('socat', [`PTY,link=${this.path},rawer`, `EXEC:${serve}`], {
      cwd: ROOT,
      stdio: ['ignore', 'ignore', 'pipe'],
    });
    this.#socat.stderr!.on('data', (text: Buffer) => {
      this.complaints += text.toString();
    });
    for (let tries = 0; tries < 200 && !existsSync(this.path); tries++) await wallClock.sleep(0.05);
    if (!existsSync(this.path)) throw new Error(`socat made no pseudo-terminal: ${this.complaints}`);
  }

  async stop(): Promise<void> {
    const socat = this.#socat;
    if (socat !== undefined && socat.exitCode === null) {
      const gone = new Promise((resolve) => socat.once('exit', resolve));
      socat.kill();
      await gone;
    }
    rmSync(this.#folder, { recursive: true, force: true });
  }
}
