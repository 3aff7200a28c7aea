// A host process that dies or stands still in mid-throw, at the other end of a pseudo-terminal: the board here, so that
// the time from the host's last byte to outputs off is measured and printed.

import { type ChildProcess, spawn } from 'node:child_process';
import { existsSync, mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterEach, describe, expect, it } from 'vitest';
import { wallClock } from '../../host/link/index.js';
import { openEmulatedRig, type VirtualRig } from '../../host/virtual-rig/index.js';
import { PlainWorld } from '../rig/plain-world.js';
import { ROOT } from '../rules/source-tree.js';
import { isSkipped, skipNote } from './served-rig.js';

/** The board's own limit, its millisecond, and a slice of the emulation. */
const SILENCE_S = 0.25 + 0.003;
const folders: string[] = [];
const children: ChildProcess[] = [];
let virtual: VirtualRig | undefined;

afterEach(() => {
  for (const child of children.splice(0)) child.kill('SIGKILL');
  virtual?.close();
  for (const folder of folders.splice(0)) rmSync(folder, { recursive: true, force: true });
});

async function throwingHost() {
  const folder = mkdtempSync(join(tmpdir(), 'throwbench-killed-'));
  folders.push(folder);
  const path = join(folder, 'rig');
  const world = new PlainWorld();
  const rig = openEmulatedRig({ world, paced: true });
  virtual = rig;
  const socat = spawn('socat', [`PTY,link=${path},rawer`, 'STDIO'], { stdio: ['pipe', 'pipe', 'ignore'] });
  children.push(socat);
  socat.stdin.on('error', () => {});
  rig.board.onTransmit = (bytes) => void socat.stdin.write(bytes);
  const heard = { lastS: 0 };
  socat.stdout.on('data', (chunk: Buffer) => {
    heard.lastS = rig.board.timeS;
    rig.board.receive(chunk);
  });
  rig.power();
  for (let tries = 0; tries < 200 && !existsSync(path); tries++) await wallClock.sleep(0.05);
  // A crowded machine may take the first try away; the host then says so and ends.
  for (let tries = 5; tries > 0; tries--) {
    const host = spawn(process.execPath, ['--import', 'tsx', 'tests/virtual-rig/host-process.ts', path], {
      cwd: ROOT,
      stdio: ['ignore', 'pipe', 'ignore'],
    });
    children.push(host);
    let out = '';
    host.stdout.on('data', (text: Buffer) => {
      out += text.toString();
    });
    for (let waits = 0; waits < 500 && host.exitCode === null && !out.includes('thrown'); waits++)
      await wallClock.sleep(0.02);
    if (out.includes('thrown') && world.outputs.throwForward) return { host, world, heard, said: () => out };
    host.kill('SIGKILL');
    await wallClock.sleep(0.5);
  }
  throw new Error('the host process came to no throw');
}

async function isOff(world: PlainWorld): Promise<void> {
  for (let waits = 0; waits < 500 && !world.isOff; waits++) await wallClock.sleep(0.02);
  expect(world.isOff).toBe(true);
}

describe.skipIf(isSkipped)(`a host in trouble in mid-throw${skipNote}`, () => {
  it.each(['SIGKILL', 'SIGSTOP'] as const)(
    'with %s: outputs off within 250 ms of its last byte, measured',
    async (signal) => {
      const { host, world, heard, said } = await throwingHost();
      const killedS = virtual!.board.timeS;
      expect(world.isOff).toBe(false);
      host.kill(signal);
      await isOff(world);
      const offS = world.offAfter(killedS)!;
      console.log(
        `${signal} in mid-throw: outputs off ${Math.round((offS - heard.lastS) * 1000)} ms after the host's last byte, ` +
          `${Math.round((offS - killedS) * 1000)} ms after the signal`,
      );
      expect(offS - heard.lastS).toBeLessThan(SILENCE_S);
      if (signal === 'SIGKILL') return;
      await wallClock.sleep(1);
      host.kill('SIGCONT');
      for (let waits = 0; waits < 500 && !/"kind":"(stopped|lost)"/.test(said()); waits++)
        await wallClock.sleep(0.02);
      expect(said()).toMatch(/"reason":"host-silence"/);
      expect(world.isOff).toBe(true);
    },
    90_000,
  );
});
