// A client in another language, made from PROTOCOL.md, against the virtual rig behind a pseudo-terminal. Needs socat and
// python3; the gate installs both, so that their absence there is a failure and not a skip.

import { execFile, execFileSync, spawn } from 'node:child_process';
import { existsSync, mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { promisify } from 'node:util';
import { describe, expect, it } from 'vitest';
import { ROOT } from '../rules/source-tree.js';

const has = (program: string) => {
  try {
    execFileSync(program, [program === 'socat' ? '-V' : '--version'], { stdio: 'ignore' });
    return true;
  } catch {
    return false;
  }
};
const missing = ['socat', 'python3'].filter((program) => !has(program));
const isSkipped = missing.length > 0 && !process.env.CI;
const title = isSkipped
  ? `a client in Python (skipped: ${missing.join(' and ')} not installed)`
  : 'a client in Python';
const SERVE = `${process.execPath} --import tsx host/cli.ts virtual --stdio --profile entry-step-relays`;

describe.skipIf(isSkipped)(title, () => {
  it('made from PROTOCOL.md alone greets the rig, throws a unit and reads its inrush', async () => {
    expect(missing).toEqual([]);
    const folder = mkdtempSync(join(tmpdir(), 'throwbench-python-'));
    const path = join(folder, 'rig');
    const socat = spawn('socat', [`PTY,link=${path},rawer`, `EXEC:${SERVE}`], { cwd: ROOT, stdio: 'ignore' });
    try {
      for (let tries = 0; tries < 200 && !existsSync(path); tries++)
        await new Promise((resolve) => setTimeout(resolve, 50));
      const { stdout } = await promisify(execFile)(
        'python3',
        [join(ROOT, 'tests/firmware-protocol/client.py'), path],
        {
          timeout: 80_000,
        },
      );
      console.log(stdout.trim());
      expect(stdout).toMatch(/^hello 1 [0-9.]+ reference-rig /m);
      expect(stdout).toMatch(/^constants 16000000 10 1000 18 /m);
      expect(stdout).toMatch(/^scan MABFMABCMABSMABMAB$/m);
      const [, frames, jumps, thrown, inrush] = /frames (\d+) jumps (\d+) thrown (\d+) inrush (\d+)/.exec(
        stdout,
      )!;
      expect(Number(frames)).toBeGreaterThan(1000);
      // A crowded machine may hold the pseudo-terminal up; the board then says so by jumps, and few of them.
      expect(Number(jumps)).toBeLessThan(5);
      expect(Number(thrown)).toBeGreaterThan(200);
      // An ampere is 12.8 counts on the reference rig; any motor draws more than one when it starts.
      expect(Number(inrush)).toBeGreaterThan(13);
    } finally {
      const gone = new Promise((resolve) => socat.once('exit', resolve));
      socat.kill();
      await gone;
      rmSync(folder, { recursive: true, force: true });
    }
  });
});
