// `throwbench wiring`: every wire once and in a safe order, with checks that a right harness passes, on paper too.

import { mkdtempSync, readFileSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { describe, expect, it } from 'vitest';
import { unitAsBuilt } from '../../host/commands/unit-as-built.js';
import { command } from '../../host/commands/verbs/wiring.js';
import { type Connection, connectionsOf, STAGES } from '../../host/plan/index.js';
import { loadUnit } from '../../host/profile/index.js';
import { call } from './call.js';

const cwd = mkdtempSync(join(tmpdir(), 'throwbench-wiring-'));
const called = (...args: string[]) => call(command, args, cwd);

const HARNESSES = [
  ...['switch-carried-open-rest', 'switch-carried-grounded-rest', 'switch-motor-on-commons', 'single-relay'],
  ...['relay-pair-ground-thrown', 'relay-pair-positive-thrown', 'relay-pair-rests-high'],
  ...['main-and-remote-switch', 'limit-actuator-switch', 'limit-actuator-relay-pair'],
];

describe('wires of a build', () => {
  it.each(HARNESSES)('%s: each once, by stages, the wire at the source last', (id) => {
    const unit = unitAsBuilt('entry-step-relays', id);
    const wires = connectionsOf(unit);
    const own = unit.style.elements.filter(({ kind }) => kind === 'wire').map((each) => each.id);
    expect(wires.map((wire) => wire.id).sort()).toEqual(own.sort());
    expect(wires.map(({ number }) => number)).toEqual(wires.map((_, i) => i + 1));
    const stages = wires.map(({ stage }) => STAGES.indexOf(stage));
    expect(stages).toEqual(stages.toSorted((a, b) => a - b));
    // Common practice, no source: the feed's end at the source is joined when nothing is left to be joined.
    const last = unit.style.elements.find((each) => each.id === wires.at(-1)?.id);
    expect(last).toMatchObject({ kind: 'wire', role: 'feed' });
  });

  it('takes colours and ends from the profile, and colours from the call before it', () => {
    const path = join(cwd, 'vent.yaml');
    writeFileSync(
      path,
      [
        'id: vent\ntitle: Vent\nkind: unit\ncircuit: switch-carried-open-rest\nmotor: roof-vent',
        'wires:\n  feed: { colour: RD, a: screw }\n  lead-a: { colour: GNYE }\n',
      ].join('\n'),
    );
    const wires = connectionsOf(loadUnit(path), { 'lead-a': 'BU' });
    const named = (id: string): Connection | undefined => wires.find((wire) => wire.id === id);
    expect(named('feed')).toMatchObject({ colour: 'RD', fromEnd: 'screw', toEnd: 'crimp' });
    expect(named('lead-a')).toMatchObject({ colour: 'BU' });
    expect(named('lead-b')?.colour).toBeUndefined();
  });

  it.each([
    ['fed: { colour: RD }', /wires\.fed: switch-carried-open-rest has no wire fed; use one of feed/],
    ['feed: { colour: RED }', /letters of IEC 60757/],
    ['feed: { a: glued }', /wires\.feed\.a/],
  ])('refuses a profile with %s in one line', (line, why) => {
    const path = join(cwd, 'bad.yaml');
    writeFileSync(
      path,
      `id: bad\ntitle: Bad\nkind: unit\ncircuit: switch-carried-open-rest\nmotor: roof-vent\nwires:\n  ${line}\n`,
    );
    expect(() => loadUnit(path)).toThrow(why);
  });
});

describe('throwbench wiring', () => {
  it('tells parts, wires, checks and first power in this order, within 80 columns', async () => {
    const { code, stdout } = await called('--profile', 'entry-step-relays', '--colour', 'feed=RD');
    expect(code).toBe(0);
    expect(Math.max(...stdout.split('\n').map(({ length }) => length))).toBeLessThanOrEqual(80);
    const order = [
      'Put each fuse close to the source',
      'Local codes',
      'Parts:',
      '(1)',
      '(13)',
      'Meter checks',
      '21 W',
    ];
    const places = order.map((text) => stdout.indexOf(text));
    expect(places.every((at) => at > 0)).toBe(true);
    expect(places).toEqual(places.toSorted((a, b) => a - b));
    expect(stdout.replace(/\s+/g, ' ')).toMatch(
      /fused supply to the feed joint of both 87: RD red, 2\.5 mm², 1\.50 m, crimp/,
    );
    // Copper of IEC 60028 at 20 °C: 1.5 m of 0.5 mm² is 1.5 / 58 / 0.5 = 0.052 Ohm; the meter's leads add 0.3, twice for 95 %.
    expect(stdout).toMatch(/\(6\) to \(10\) and \(14\), each end\s+to end at most 0\.7 Ω/);
  });

  it.each([
    ['relay-pair-ground-thrown', 'common of the small switch to ground of the supply: 0.5 mm², 1.50 m'],
    ['relay-pair-positive-thrown', 'fused coil supply to common of the small switch: 0.5 mm², 1.50 m'],
    ['single-relay', 'common of the small switch to ground of the supply: 0.5 mm², 1.50 m'],
  ])('%s: the small switch that throws the relays is joined at its common too', async (circuit, words) => {
    const { stdout } = await called('--profile', 'entry-step-relays', '--circuit', circuit);
    expect(stdout.replace(/\s+/g, ' ')).toContain(words);
    // Two ends of each wire of the list, and its metres laid out.
    const made = [...stdout.matchAll(/^ {2}\[ \] \(\d+\) /gm)].length;
    expect(stdout).toMatch(new RegExp(`^ +${2 * made} {2}Crimped ends`, 'm'));
  });

  it('writes HTML and PDF of the same, refusing to write over them', async () => {
    const args = [
      '--profile',
      'roof-vent-switch',
      '--html',
      'vent.html',
      '--pdf',
      'vent.pdf',
      '--paper',
      'letter',
    ];
    expect((await called(...args)).code).toBe(0);
    const html = readFileSync(join(cwd, 'vent.html'), 'utf8');
    expect(html.replaceAll('http://www.w3.org/', '')).not.toMatch(/https?:|<script|<link|@import|url\(/);
    expect(html).toContain('Stage 1: Links on the switch');
    const pdf = readFileSync(join(cwd, 'vent.pdf')).toString('latin1');
    expect(pdf).toMatch(/^%PDF-/);
    expect(/\/MediaBox \[([^\]]+)\]/.exec(pdf)?.[1]).toBe('0 0 612 792');
    await expect(called(...args)).rejects.toThrow(/exists already/);
  });

  it.each([
    [[], /wiring needs --profile/],
    [['--profile', 'window-lift-alone'], /no harness, so there is nothing to wire/],
    [['--profile', 'roof-vent-switch', '--paper', 'a3'], /use a4 or letter/],
    [['--profile', 'roof-vent-switch', '--colour', 'feed=XX'], /letters of IEC 60757/],
  ])('refuses %j in one line', async (args, why) => {
    await expect(called(...args)).rejects.toThrow(why);
  });
});
