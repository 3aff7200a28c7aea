// `throwbench rig` as a user calls it, on the virtual bench: text, JSON, exit codes, and the end of --watch.

import { execFile, spawn } from 'node:child_process';
import { describe, expect, it } from 'vitest';
import { ROOT } from '../rules/source-tree.js';

const CLI = ['--import', 'tsx', 'host/cli.ts', 'rig'];
const VIRTUAL = ['--virtual', 'roof-vent-good', '--profile', 'roof-vent-switch'];

function rig(...args: string[]): Promise<{ code: number; out: string; err: string }> {
  return new Promise((resolve) => {
    execFile(process.execPath, [...CLI, ...args], { cwd: ROOT, timeout: 60_000 }, (error, out, err) =>
      resolve({ code: error ? Number(error.code ?? -1) : 0, out, err }),
    );
  });
}

describe('throwbench rig', () => {
  it('tells who the rig is, what its board keeps to, its stop loop and all six channels', async () => {
    const { code, out, err } = await rig(...VIRTUAL);
    expect({ code, err }).toEqual({ code: 0, err: '' });
    expect(out).toMatch(
      /^rig virtual \(reference-rig\) on virtual\nfirmware \d+\.\d+\.\d+, hardware \d, protocol 1, /,
    );
    expect(out).toMatch(/dead time 300 ms \(never below 100\); host silence 250 ms; hold up to 60 s/);
    expect(out).toMatch(/stop loop closed; no stop latched; idle, outputs off/);
    // 13 V within 2 % and the channel's own error.
    const supply = /^Supply +([\d.]+) +[\d.]+ +([\d.]+) V +([\d.]+) V/m.exec(out)!;
    expect(Number(supply[3])).toBeGreaterThan(12.6);
    expect(Number(supply[3])).toBeLessThan(13.4);
    expect(Number(supply[2])).toBeCloseTo(Number(supply[1]) / 204.8, 2);
    // Nothing flows: the finer input reads a tenth of the plain one's step (RIG.md, sections 5.1 and 5.2), within its ±.
    const fine = /^Motor current, fine +([\d.]+) +[\d.]+ +([\d.]+) V +(-?[\d.]+) A/m.exec(out)!;
    expect(Math.abs(Number(fine[1]) - 512)).toBeLessThan(30);
    expect(Number(fine[3])).toBeCloseTo(-4 + 0.0078125 * Number(fine[1]), 2);
    for (const line of out.split('\n')) expect(line.length).toBeLessThanOrEqual(130);
  });

  it('stores an id, confirms it, and gives one JSON object', async () => {
    const { code, out, err } = await rig(...VIRTUAL, '--json', '--set-id', 'bench-4');
    expect(code).toBe(0);
    expect(err).toMatch(/rig id bench-4 stored: read back from its EEPROM after a restart/);
    const reading = JSON.parse(out);
    expect(reading.rig.rigId).toBe('bench-4');
    expect(reading.state).toMatchObject({ feed: 'off', position: 'rest', stopLoop: 'closed' });
    expect(Object.keys(reading.channels)).toHaveLength(6);
    expect(reading.fineChannels.motorCurrentA).toMatchObject({ unit: 'A', samples: expect.any(Number) });
    expect(reading.fineChannels.motorCurrentA.lack).toBeUndefined();
    expect(reading.channels.motorCurrentA.samples).toBeGreaterThan(990);
  });

  it.each<[string, string[], number, RegExp]>([
    ['no rig', [], 2, /which bench\? name it with --port PATH or --virtual CASE/],
    ['two rigs', ['--port', 'p', ...VIRTUAL], 2, /exclude each other/],
    ['no profile', ['--virtual', 'roof-vent-good'], 2, /--profile P is missing/],
    ['a wrong id', [...VIRTUAL, '--set-id', 'über'], 2, /--set-id is "über"; a rig id has 1 to 16 letters/],
    ['an id too long', [...VIRTUAL, '--set-id', 'a'.repeat(17)], 2, /1 to 16 letters/],
    ['no such port', ['--port', '/dev/ttyNoSuch0'], 2, /port \/dev\/ttyNoSuch0 does not exist/],
    [
      'another rig',
      [...VIRTUAL, '--rig', 'bench-1'],
      3,
      /the rig on port virtual is "virtual", not "bench-1"/,
    ],
  ])(
    'answers %s in a line',
    async (_, args, wanted, told) => {
      const { code, out, err } = await rig(...args);
      expect({ code, out }).toEqual({ code: wanted, out: '' });
      expect(err).toMatch(told);
      expect(err).not.toMatch(/ {4}at /);
    },
    60_000,
  );

  it('reads again and again with --watch, until Ctrl-C ends it in good order', async () => {
    const child = spawn(process.execPath, [...CLI, ...VIRTUAL, '--watch', '--json'], { cwd: ROOT });
    let out = '';
    child.stdout.on('data', (text: Buffer) => {
      out += text.toString();
      if (out.split('\n').length > 3) child.kill('SIGINT');
    });
    const code = await new Promise((resolve) => child.once('exit', resolve));
    expect(code).toBe(0);
    const readings = out
      .trim()
      .split('\n')
      .map((line) => JSON.parse(line));
    expect(readings.length).toBeGreaterThanOrEqual(3);
    const boardMs = readings.map(({ state }) => state.boardMs as number);
    // Half a second apart by the board's clock, more on a crowded machine.
    expect(boardMs[1]! - boardMs[0]!).toBeGreaterThan(450);
  });
});
