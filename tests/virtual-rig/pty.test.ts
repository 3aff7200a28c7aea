// The whole way of a real port: native serial binding, pseudo-terminal, and at its other end the program's own
// `virtual --stdio`. Needs socat; the gate installs it, so that its absence there is a failure and not a skip.

import { type ChildProcess, execFileSync, spawn } from 'node:child_process';
import { existsSync, mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { nativePort, type PortChoice, wallClock } from '../../host/link/index.js';
import { loadUnit } from '../../host/profile/index.js';
import { connectRig, type RigEvent } from '../../host/rig/index.js';
import { ROOT } from '../rules/source-tree.js';

const hasSocat = (() => {
  try {
    execFileSync('socat', ['-V'], { stdio: 'ignore' });
    return true;
  } catch {
    return false;
  }
})();
const isSkipped = !hasSocat && !process.env.CI;
const title = isSkipped
  ? 'the virtual rig behind a pseudo-terminal (skipped: socat is not installed; apt-get install socat)'
  : 'the virtual rig behind a pseudo-terminal';

describe.skipIf(isSkipped)(title, () => {
  const folder = mkdtempSync(join(tmpdir(), 'throwbench-pty-'));
  const path = join(folder, 'rig');
  let socat: ChildProcess | undefined;
  let complaints = '';

  beforeAll(async () => {
    if (!hasSocat) throw new Error('socat is missing: this test must run in CI; install it in the gate');
    const serve = `${process.execPath} --import tsx host/cli.ts virtual --stdio --profile entry-step-relays`;
    socat = spawn('socat', [`PTY,link=${path},rawer`, `EXEC:${serve}`], {
      cwd: ROOT,
      stdio: ['ignore', 'ignore', 'pipe'],
    });
    socat.stderr!.on('data', (text: Buffer) => {
      complaints += text.toString();
    });
    for (let tries = 0; tries < 200 && !existsSync(path); tries++) await wallClock.sleep(0.05);
    if (!existsSync(path)) throw new Error(`socat made no pseudo-terminal: ${complaints}`);
  });

  afterAll(async () => {
    if (socat !== undefined && socat.exitCode === null) {
      const gone = new Promise((resolve) => socat!.once('exit', resolve));
      socat.kill();
      await gone;
    }
    rmSync(folder, { recursive: true, force: true });
  });

  it('is opened by the native binding, greeted, thrown once, sampled and switched off', async () => {
    const port = await nativePort(path);
    // The program behind the pseudo-terminal is still starting, and a crowded machine may hold it up for longer than
    // a link may be silent: whoever sees that says so and starts again, as a person would.
    for (let tries = 5; ; tries--) {
      try {
        await throwOnce(port);
        return;
      } catch (error) {
        const { code } = error as { code?: string };
        if (tries === 0 || (code !== 'no-answer' && code !== 'link-lost')) throw error;
      }
    }
  }, 90_000);
});

const unit = loadUnit('entry-step-relays');
/** A tenth of a second of the throw. */
const ENOUGH_SAMPLES = 500;

async function throwOnce(port: PortChoice): Promise<void> {
  const rig = await connectRig({ port, clock: wallClock, rigProfile: unit.rig });
  const others: RigEvent[] = [];
  const seen = { forward: 0, measured: 0, sumA: 0, lost: 0, last: 'forward' };
  rig.onEvent((event) => {
    if (event.kind === 'gap') seen.lost += event.lostFrames;
    else if (event.kind !== 'samples') others.push(event);
    else {
      event.block.position.forEach((position, i) => {
        const currentA = event.block.channels.motorCurrentA![i]!;
        seen.last = position;
        if (position !== 'forward') return;
        seen.forward += 1;
        if (Number.isNaN(currentA)) return;
        seen.measured += 1;
        seen.sumA += currentA;
      });
    }
  });
  try {
    expect(rig.facts).toMatchObject({ model: 'reference-rig', protocolVersion: '1', hostSilenceS: 0.25 });
    await rig.setTrip(unit.rig.trip);
    await rig.startStream();
    await rig.arm();
    await rig.setFeed('full');
    await rig.setPosition('forward', 4);
    for (let waits = 0; waits < 200 && seen.forward < ENOUGH_SAMPLES; waits++) await rig.clock.sleep(0.02);
    await rig.allOff();
    for (let waits = 0; waits < 50 && seen.last !== 'rest'; waits++) await rig.clock.sleep(0.02);
    await rig.stopStream();
  } finally {
    await rig.close();
  }
  const lost = others.find(({ kind }) => kind === 'lost');
  if (lost) throw Object.assign(new Error(JSON.stringify(lost)), { code: 'link-lost' });
  expect(others).toEqual([]);
  expect(seen.forward).toBeGreaterThanOrEqual(ENOUGH_SAMPLES);
  expect(seen.last).toBe('rest');
  // 4 to 5 A run, the start draws more.
  expect(seen.sumA / seen.measured).toBeGreaterThan(3);
  // Requests that arrive in a burst may crowd out a frame on the board; the board says so, the gap is told, and
  // nothing is lost on the way. The board counts since it was powered, earlier tries and the stream's end included.
  const counters = rig.counters();
  expect(seen.lost).toBe(counters.framesLost);
  expect(counters.framesLost).toBeLessThanOrEqual(counters['board-framesLost']!);
  expect(counters.framesLost! / counters.framesIn!).toBeLessThan(0.05);
  expect(counters.crcErrors).toBe(0);
}
