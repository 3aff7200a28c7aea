// The whole way of a real port: native serial binding, pseudo-terminal, and at its other end the program's own
// `virtual --stdio`.

import { type ChildProcess, spawn } from 'node:child_process';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { Link, nativePort, type PortChoice, wallClock } from '../../host/link/index.js';
import { loadUnit } from '../../host/profile/index.js';
import { connectRig, type RigEvent } from '../../host/rig/index.js';
import { ROOT } from '../rules/source-tree.js';
import { isSkipped, ServedRig, skipNote } from './served-rig.js';

const served = new ServedRig();
const hosts: ChildProcess[] = [];

describe.skipIf(isSkipped)(`the virtual rig behind a pseudo-terminal${skipNote}`, () => {
  beforeAll(() => served.start('entry-step-relays'));
  afterAll(async () => {
    for (const host of hosts) if (host.exitCode === null && host.signalCode === null) host.kill('SIGKILL');
    await served.stop();
  });

  it('is opened by the native binding, greeted, thrown once, sampled and switched off', async () => {
    const port = await nativePort(served.path);
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
  });

  it('is not opened a second time while a program holds it', async () => {
    const port = await nativePort(served.path);
    const first = new Link({ port, clock: wallClock });
    await patiently(() => first.open());
    const second = new Link({ port, clock: wallClock, busyPatienceS: 0.6 });
    await expect(second.open()).rejects.toMatchObject({ code: 'port-busy' });
    expect(second.counters.attempts).toBe(2);
    await first.close();
    await patiently(() => second.open());
    await second.close();
  });

  it('switches off by itself when the host is killed in mid-throw, and serves the next one', async () => {
    const { host } = await hostWithThrow();
    host.kill('SIGKILL');
    const state = await stateAfter('killed');
    expect(state).toMatchObject({ position: 'rest', feed: 'off', mode: 'stopped', stop: 'host-silence' });
  });

  it('switches off by itself when the host stands still for a second; the host learns why when it goes on', async () => {
    const { host, lines } = await hostWithThrow();
    host.kill('SIGSTOP');
    await wallClock.sleep(1);
    host.kill('SIGCONT');
    const heard = await lineWith(lines, /"kind":"(stopped|lost)"/);
    expect(JSON.parse(heard)).toMatchObject({ kind: 'stopped', reason: 'host-silence' });
    host.kill('SIGKILL');
    expect(await stateAfter('stood still')).toMatchObject({ position: 'rest', feed: 'off' });
  });

  it('is kept alive by a host whose screen draws for 100 ms at a stretch', async () => {
    const { lines } = await hostWithThrow('100');
    const drawn = await lineWith(lines, /"kind":"(drawn|stopped|lost)"/);
    expect(JSON.parse(drawn)).toMatchObject({ kind: 'drawn' });
  });

  it('leaks no file descriptor over 30 openings by the native binding', async () => {
    const port = await nativePort(served.path);
    const { readdirSync } = await import('node:fs');
    const open = (): number => (process.platform === 'linux' ? readdirSync('/proc/self/fd').length : 0);
    const cycle = async (): Promise<void> => {
      const link = new Link({ port, clock: wallClock });
      await patiently(() => link.open());
      await link.close();
    };
    await cycle();
    const before = open();
    for (let i = 0; i < 30; i++) await cycle();
    expect(open()).toBeLessThanOrEqual(before + 1);
  });
});

/** A crowded machine may hold the emulated board up for longer than a link may be silent; then once more. */
async function patiently<T>(work: () => Promise<T>): Promise<T> {
  for (let tries = 5; ; tries--) {
    try {
      return await work();
    } catch (error) {
      const { code } = error as { code?: string };
      if (tries === 0 || !['no-answer', 'link-lost', 'reply-timeout', 'not-a-rig'].includes(code ?? ''))
        throw error;
    }
  }
}

async function hostWithThrow(blockMs = '0'): Promise<{ host: ChildProcess; lines: string[] }> {
  for (let tries = 3; ; tries--) {
    const script = ['--import', 'tsx', 'tests/virtual-rig/host-process.ts', served.path, blockMs];
    const host = spawn(process.execPath, script, { cwd: ROOT, stdio: ['ignore', 'pipe', 'pipe'] });
    hosts.push(host);
    const lines: string[] = [];
    let complaints = '';
    host.stdout!.on('data', (text: Buffer) => lines.push(...text.toString().split('\n').filter(Boolean)));
    host.stderr!.on('data', (text: Buffer) => {
      complaints += text.toString();
    });
    for (let waits = 0; waits < 500 && host.exitCode === null; waits++) {
      if (lines.some((line) => line.includes('thrown'))) return { host, lines };
      await wallClock.sleep(0.02);
    }
    host.kill('SIGKILL');
    if (tries === 0) throw new Error(`the host process came to no throw: ${lines.join(' ')} ${complaints}`);
  }
}

async function lineWith(lines: string[], pattern: RegExp): Promise<string> {
  for (let waits = 0; waits < 500; waits++) {
    const found = lines.find((line) => pattern.test(line));
    if (found !== undefined) return found;
    await wallClock.sleep(0.02);
  }
  throw new Error(`no line with ${pattern} came: ${lines.join(' ')}`);
}

/**
 * A pseudo-terminal does not reset the board: what it did by itself can be asked. Asking shows a host, so each question
 * comes only after twice the silence that the board bears.
 */
async function stateAfter(what: string) {
  const port = await nativePort(served.path);
  for (let tries = 0; tries < 8; tries++) {
    await wallClock.sleep(0.5);
    const link = new Link({ port, clock: wallClock });
    const state = await patiently(async () => {
      await link.open();
      return await link.request({ verb: 'state' });
    });
    await link.close();
    if (state.mode !== 'armed') return state;
  }
  throw new Error(`the board is still armed after the host was ${what}`);
}

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
    await rig.setCoilFeed?.('full');
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
