// `throwbench circuit`: what it draws, what it marks, and what it refuses in one line.

import { mkdtempSync, readFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { describe, expect, it } from 'vitest';
import { command } from '../../host/commands/verbs/circuit.js';
import { call } from './call.js';

const cwd = mkdtempSync(join(tmpdir(), 'throwbench-circuit-'));
const drawn = (...args: string[]) => call(command, args, cwd);

describe('throwbench circuit', () => {
  it('draws within 80 columns what stands and flows, and names every wire', async () => {
    const { code, stdout } = await drawn('--profile', 'entry-step-relays', '--colour', 'feed=RD');
    expect(code).toBe(0);
    expect(Math.max(...stdout.split('\n').map(({ length }) => length))).toBeLessThanOrEqual(80);
    expect(stdout).toMatch(/Thrown forward/);
    expect(stdout).toMatch(/\(13\) Feed wire: RD red, 2\.5 mm², \d\.\d A/);
  });

  it('of a relay by itself names the terminals of the rig, and of a known load no running motor', async () => {
    const relay = await drawn('--profile', 'mini-changeover-alone');
    expect(relay.stdout).toMatch(/^Thrown forward$/m);
    expect(relay.stdout).not.toMatch(/small switch|motor plug|running free/i);
    const load = await drawn('--profile', 'relay-pair-harness-load');
    expect(load.stdout).toMatch(/^Thrown forward; known load on its leads$/m);
  });

  it('marks the place of a fault where it shows best, and tells the next probe', async () => {
    const { stdout } = await drawn('--profile', 'entry-step-relays', '--fault', 'k2-coil-open');
    expect(stdout).toMatch(/Thrown in reverse; with the fault; in brackets a good unit/);
    expect(stdout).toMatch(/! faulty\s+║\n/);
    expect(stdout).toMatch(/! The coil of K2 is open between 85 and 86\.\nNext: Pull K2/);
  });

  it('writes a picture that stands alone, with the colours of the profile or the call', async () => {
    const { code } = await drawn(
      '--profile',
      'roof-vent-switch',
      '--colour',
      'lead-a=buwh',
      '--svg',
      'vent.svg',
    );
    expect(code).toBe(0);
    const svg = readFileSync(join(cwd, 'vent.svg'), 'utf8');
    expect(svg).toMatch(/BUWH blue with white/);
    expect(svg.replaceAll('http://www.w3.org/', '')).not.toMatch(/https?:|<script|url\(/);
  });

  it('tells programs places, wires and currents', async () => {
    const { stdout } = await drawn('--profile', 'roof-vent-switch', '--position', 'reverse', '--json');
    const told = JSON.parse(stdout);
    expect(told.position).toBe('reverse');
    const at = (node: string): number =>
      told.places.find((place: { node: string }) => place.node === node).voltageV;
    expect(at('rig.motor-b') - at('rig.motor-a')).toBeGreaterThan(11);
    expect(told.wires.map((wire: { number: number }) => wire.number)).toEqual([1, 2, 3, 4, 5, 6]);
  });

  it.each([
    [[], /needs either --profile/],
    [
      ['--profile', 'roof-vent-switch', '--position', 'left'],
      /no position 'left': use rest, forward, reverse/,
    ],
    [['--profile', 'roof-vent-switch', '--colour', 'fed=RD'], /no wire fed: did you mean feed\?/],
    [['--profile', 'roof-vent-switch', '--colour', 'feed=red'], /letters of IEC 60757, such as RD/],
    [
      ['--profile', 'roof-vent-switch', '--colour', 'RD'],
      /should name a wire and its colour, such as feed=RD/,
    ],
    [['--profile', 'entry-step-relays', '--fault', 'k2-coil-opn'], /did you mean k2-coil-open\?/],
    [['--profile', 'roof-vent-switch', '--station', 'remote'], /switch-carried-open-rest has none/],
    [['--run', 'last', '--fault', 'x'], /--fault does not go with --run/],
  ])('refuses %j in one line', async (args, why) => {
    const refused = drawn(...args);
    await expect(refused).rejects.toThrow(why);
    await expect(refused).rejects.toThrow(/^[^\n]+$/);
  });
});
