// A circuit of one's own, seven nodes of it its own, beside the unit that names it: planning finds it there and says what
// stands in it. By hand: nobody ships this one.

import { mkdirSync, mkdtempSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { command as circuit } from '../../host/commands/verbs/circuit.js';
import { command as meter } from '../../host/commands/verbs/meter.js';
import { command as profile } from '../../host/commands/verbs/profile.js';
import { command as ratings } from '../../host/commands/verbs/ratings.js';
import { command as wiring } from '../../host/commands/verbs/wiring.js';
import { call } from './call.js';

const SEVEN = `id: seven
title: Fused switch with a cut-off on the ground side
kind: circuit
summary: A fuse, a reversing switch and a cut-off switch in the ground side; released it coasts.
hookUp:
  - Feed wire {feed} and ground wire {ground} to the rig.
restState: open
release: coast
thrownBy: stand-in
polarity: { forward: positive, reverse: negative }
returnPath: { forward: through the cut-off, reverse: through the cut-off }
nodes: { f: supply side of the fuse, x: ground side of the cut-off }
elements:
  - { id: feed, kind: wire, role: feed, title: feed wire, a: rig.feed, b: f }
  - { id: main-fuse, kind: fuse, title: main fuse, a: f, b: c1, ratedA: 7.5, resistanceOhm: 0.01 }
  - { id: ground, kind: wire, role: ground, title: ground wire, a: x, b: rig.ground }
  - id: switch
    kind: switch
    title: reversing switch
    poles:
      - { id: pole-1, common: c1, throws: { forward: a1, reverse: b1 } }
      - { id: pole-2, common: c2, throws: { forward: a2, reverse: b2 } }
  - { id: cut-off, kind: switch, title: cut-off switch, poles: [{ id: pole-1, common: c2, throws: { on: x } }] }
  - { id: jumper-a1-b2, kind: wire, role: jumper, title: jumper a1-b2, a: a1, b: b2, lengthM: 0.1 }
  - { id: jumper-a2-b1, kind: wire, role: jumper, title: jumper a2-b1, a: a2, b: b1, lengthM: 0.1 }
  - { id: lead-a, kind: wire, role: lead, title: motor lead A, a: a1, b: rig.lead-a }
  - { id: lead-b, kind: wire, role: lead, title: motor lead B, a: a2, b: rig.lead-b }
  - { id: motor, kind: motor, a: rig.motor-a, b: rig.motor-b }
positions:
  rest: { switch: rest, cut-off: on }
  forward: { switch: forward, cut-off: on }
  reverse: { switch: reverse, cut-off: on }
`;
const UNIT = 'title: Vent\nkind: unit\ncircuit: seven\nmotor: roof-vent\nwiring: { lengthM: 4, awg: 22 }\n';

describe('a circuit beside its unit', () => {
  const folder = mkdtempSync(join(tmpdir(), 'throwbench-own-'));
  const unit = join(folder, 'units', 'vent.yaml');
  beforeAll(() => {
    for (const each of ['units', 'circuits']) mkdirSync(join(folder, each));
    writeFileSync(join(folder, 'circuits', 'seven.yaml'), SEVEN);
    writeFileSync(unit, `id: vent\n${UNIT}`);
  });
  afterAll(() => rmSync(folder, { recursive: true, force: true }));
  const json = async (command: typeof ratings, ...args: string[]) =>
    JSON.parse((await call(command, ['--profile', unit, ...args, '--json'], folder)).stdout);

  it('is rated, and its own fuse stands at its own rating', async () => {
    const { circuit: id, rows } = await json(ratings, '--running-a', '0.3', '--held-a', '4');
    expect(id).toBe('seven');
    expect(rows.find(({ kind }: { kind: string }) => kind === 'feed')).toMatchObject({ rated: 7.5 });
    // Reverse: four wires of 4 m and two jumpers of 0.1 m.
    expect(rows.map(({ title }: { title: string }) => title)).toContain('drop over 16.2 m of wire');
  });

  it('is wired: each switch once with what it must bear, the fuse as it is', async () => {
    const { parts } = await json(wiring);
    const needs = (what: string) => parts.find((part: { what: string }) => part.what === what)?.needs;
    expect(needs('Reversing switch')).toBe('2 poles; above 2.0 A (switch of 3 A)');
    expect(needs('Cut-off switch')).toBe('1 pole; above 2.0 A (switch of 3 A)');
    expect(needs('Main fuse, with holder')).toBe('7.5 A');
  });

  it('of 24 V is drawn and wired on a supply of 24 V, and asks for parts that are told for it', async () => {
    const motor = join(folder, 'motors');
    mkdirSync(motor, { recursive: true });
    const shipped = readFileSync(join('profiles', 'motors', 'roof-vent.yaml'), 'utf8');
    const own = shipped
      .replace(/^id: .*$/m, 'id: vent-24')
      .replace('nominalVoltageV: 12', 'nominalVoltageV: 24');
    writeFileSync(join(motor, 'vent-24.yaml'), own);
    const path = join(folder, 'units', 'high.yaml');
    writeFileSync(path, `id: high\n${UNIT.replace('roof-vent', 'vent-24')}`);
    const drawn = await call(circuit, ['--profile', path], folder);
    // A rig's 13 V of 12 V are 26 V of 24 V; lead A stands within a volt of that.
    expect(drawn.stdout).toMatch(/2[56]\.\d V/);
    const { stdout } = await call(wiring, ['--profile', path], folder);
    expect(stdout.replace(/\s+/g, ' ')).toMatch(/Reversing switch: 2 poles; above 2\.0 A at 24 V/);
    // 21 W at 24 V: Ohm's law.
    expect(stdout.replace(/\s+/g, ' ')).toMatch(
      /24 V 21 W lamp in place of the feed fuse: it lets through less than 1 A/,
    );
  });

  it('is drawn, and measured before power', async () => {
    const drawn = await call(circuit, ['--profile', unit], folder);
    expect(drawn.stdout).toMatch(/Cut-off switch/);
    expect(Math.max(...drawn.stdout.split('\n').map((line) => [...line].length))).toBeLessThanOrEqual(80);
    const { stdout } = await call(meter, ['--profile', unit], folder);
    expect(stdout.replace(/\s+/g, ' ')).toMatch(
      /the ground wire is open between the ground side of the cut-off/,
    );
  });

  it('with straight jumpers is refused by every verb that plans, and still drawn with that said', async () => {
    const own = SEVEN.replace('id: seven', 'id: straight')
      .replace('a: a1, b: b2', 'a: a1, b: b1')
      .replace('a: a2, b: b1', 'a: a2, b: b2');
    const path = join(folder, 'circuits', 'straight.yaml');
    writeFileSync(path, own);
    const says =
      /straight\.yaml:10: polarity\.reverse: thrown in reverse lead A of the motor is positive against lead B/;
    for (const verb of [ratings, wiring, meter])
      await expect(call(verb, ['--profile', unit, '--circuit', path], folder)).rejects.toThrow(says);
    expect(await call(profile, ['check', path], folder)).toMatchObject({
      code: 2,
      stdout: expect.stringMatching(says),
    });
    const drawn = await call(circuit, ['--profile', unit, '--circuit', path], folder);
    expect(drawn.code).toBe(0);
    expect(drawn.stdout.replace(/\s+/g, ' ')).toMatch(says);
  });
});
