// `throwbench profile`: list, show, check and new, as a person and a program call it.

import { mkdirSync, mkdtempSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { dirname, join } from 'node:path';
import { Readable } from 'node:stream';
import fc from 'fast-check';
import { afterAll, describe, expect, it, vi } from 'vitest';
import { faultsOfUnit, nominalInput, simulatePlan } from '../../host/circuit/index.js';
import { freeRunning, likelyMotor, mostRunningA } from '../../host/commands/profile/likely-motor.js';
import { command } from '../../host/commands/verbs/profile.js';
import { command as run } from '../../host/commands/verbs/run.js';
import { listProfiles, loadMotor, loadParts, loadUnit, plainValues } from '../../host/profile/index.js';
import { call } from './call.js';

const folder = mkdtempSync(join(tmpdir(), 'throwbench-own-'));
afterAll(() => rmSync(folder, { recursive: true, force: true }));

const profile = (...args: string[]) => call(command, args, folder);
let count = 0;
/** Answers, a line each; what is not answered takes its default. */
async function answered(...lines: string[]) {
  const dir = join(folder, `own-${count++}`);
  const stdin = Readable.from(lines.map((line) => `${line}\n`));
  return { dir, ...(await call(command, ['new', '--folder', dir], folder, { stdin })) };
}

describe('throwbench profile list', () => {
  it('tells every kind with ids and titles', async () => {
    const { code, stdout } = await profile('list');
    expect(code).toBe(0);
    for (const kind of [
      'unit',
      'motor',
      'relay',
      'load',
      'circuit',
      'plan',
      'parts',
      'rig',
      'tray',
    ] as const) {
      const known = listProfiles(kind);
      expect(known.length).toBeGreaterThan(0);
      for (const { id, title } of known)
        expect(stdout).toMatch(new RegExp(`^  ${id} +${title.replace(/[()]/g, '.')}$`, 'm'));
    }
  });

  it('tells one kind, one or many, and as JSON', async () => {
    expect((await profile('list', 'motor')).stdout).toBe((await profile('list', 'motors')).stdout);
    expect(JSON.parse((await profile('list', 'cases', '--json')).stdout)).toEqual({
      cases: listProfiles('case'),
    });
  });

  it('tells the faults that a unit can have', async () => {
    const { stdout } = await profile('list', 'faults', 'roof-vent-switch');
    for (const { id, sentence } of faultsOfUnit(loadUnit('roof-vent-switch'))) {
      expect(stdout).toContain(`  ${id} `);
      expect(stdout).toContain(sentence);
    }
  });

  it.each([
    [['list', 'moters'], /unknown kind "moters"/],
    [['lsit'], /unknown word "lsit" after profile/],
    [['show'], /needs an id or a YAML file/],
    [['check'], /needs one YAML file or more/],
    [['list', 'faults'], /needs a unit/],
  ])('refuses %j', async (args, said) => {
    await expect(profile(...args)).rejects.toThrow(said);
  });
});

describe('throwbench profile show', () => {
  it('tells numbers with tolerance, unit and where they come from', async () => {
    const { stdout } = await profile('show', 'mini-changeover');
    expect(stdout).toMatch(/pull-in +7 V ± 12 % +At most 8 V: dtsheet\.com/);
    expect(stdout).toMatch(/operate time +6 ms ± 25 %/);
    expect(stdout).toMatch(/suppression, resistance +680 Ω/);
    expect(stdout).toContain('published for parts of this class');
    const motor = (await profile('show', 'window-lift')).stdout;
    expect(motor).toMatch(/brush drop reached at +0\.2 A +not in the file: the usual value/);
    // The head of the file, from the trade: 3.5 A running, 15 A held at 13 V with its wiring.
    expect(motor).toMatch(
      /at 13 V, without its wiring: runs at [23]\.\d+ A and \d+ rpm \(armature\); held, 17\.6 A/,
    );
  });

  it('tells a unit with its parts, a circuit with its wires, and any shipped profile in lines of 120', async () => {
    const { stdout } = await profile('show', 'entry-step-relays');
    for (const part of ['Entry step motor', 'Mini changeover relay', 'coil resistance', 'How to hook it up:'])
      expect(stdout).toContain(part);
    for (const kind of [
      'unit',
      'motor',
      'relay',
      'load',
      'circuit',
      'plan',
      'parts',
      'rig',
      'tray',
      'case',
    ] as const) {
      for (const { id } of listProfiles(kind)) {
        const shown = await profile('show', kind, id);
        expect(shown.code, id).toBe(0);
        expect(Math.max(...shown.stdout.split('\n').map((line) => line.length)), id).toBeLessThanOrEqual(120);
        expect(shown.stdout, id).not.toMatch(/undefined|NaN|\[object/);
      }
    }
  });

  it('tells the parts that can be bought, each with its numbers and where they come from', async () => {
    const { stdout } = await profile('show', 'parts', 'generic');
    expect(stdout).toMatch(/^ {2}switch-16-a +switch of 16 A +16 A +- .* common practice, no source$/m);
    expect(stdout).toMatch(
      /^ {2}fuse-7-5-a +blade fuse of 7\.5 A +7\.5 A +32 V +by the gates +ISO 8820-3, value from memory$/m,
    );
    // IEC 60228:2004 class 5: 7.98 Ohm/km; published table of chassis wiring, AWG 14: 32 A.
    expect(stdout).toMatch(/^ {2}wire-2-5-mm2 .* 32 A +7\.98 mΩ\/m +IEC 60228 class 5$/m);
  });

  it('says that an id is of two kinds', async () => {
    expect((await profile('show', 'relay-alone')).stdout).toContain('relay-alone is also a plan');
  });
});

describe('throwbench profile check', () => {
  it('takes every shipped file', async () => {
    const { code, stdout } = await call(command, ['check', 'profiles'], process.cwd());
    expect(stdout.split('\n').filter((line) => !/: ok, /.test(line))).toEqual(['']);
    expect(stdout).toContain(': ok, scenario: ');
    expect(code).toBe(0);
  });

  it('tells each faulty file in a line and exits 2', async () => {
    writeFileSync(join(folder, 'a.yaml'), 'id: a\ntitle: A\nkind: motr\n');
    writeFileSync(join(folder, 'b.yaml'), 'id: b\ntitle: B\n');
    const { code, stdout } = await profile('check', 'a.yaml', 'b.yaml', 'no-such.yaml', 'entry-step');
    expect(code).toBe(2);
    expect(stdout.split('\n')).toHaveLength(5);
    expect(stdout).toMatch(/a\.yaml:3: kind: 'motr' is not known; did you mean motor\?/);
    expect(stdout).toMatch(/b\.yaml: kind is missing; write a line such as kind: motor/);
    expect(stdout).toMatch(/no-such\.yaml: no such file; check the path/);
    expect(stdout).toMatch(/entry-step\.yaml: ok, motor: Entry step motor/);
  });
});

describe('a motor from what a workshop can measure', () => {
  /** Motor equations, any textbook: V = drop + R i + k w; held, i = (V - drop) / R. */
  it('runs on the measured current at the measured speed, whatever was measured (seed 7)', () => {
    const motors = listProfiles('motor').map(({ id }) => plainValues(loadMotor(id)));
    fc.assert(
      fc.property(
        fc.constantFrom(...motors),
        fc.constantFrom(6, 12, 24),
        fc.double({ min: 0.05, max: 20, noNaN: true }),
        fc.double({ min: 0.05, max: 0.95, noNaN: true }),
        fc.double({ min: 500, max: 20_000, noNaN: true }),
        (like, nominalVoltageV, resistanceOhm, part, speedRpm) => {
          const runningA = part * mostRunningA(nominalVoltageV, resistanceOhm);
          const motor = {
            ...like,
            ...likelyMotor({ nominalVoltageV, resistanceOhm, runningA, speedRpm }, like),
          };
          const free = freeRunning(motor, nominalVoltageV);
          expect(free.currentA / runningA).toBeCloseTo(1, 6);
          expect((free.speedRadS * 30) / Math.PI / speedRpm).toBeCloseTo(1, 6);
          const { backEmfVsPerRad, brushDropV } = motor;
          expect(brushDropV + runningA * resistanceOhm + backEmfVsPerRad * free.speedRadS).toBeCloseTo(
            nominalVoltageV,
            6,
          );
          expect(motor.heldA).toBeCloseTo((nominalVoltageV - brushDropV) / resistanceOhm, 6);
        },
      ),
      { seed: 7, numRuns: 300 },
    );
  });
});

describe('the README', () => {
  it('has a motor and a unit to type that check takes', async () => {
    const readme = readFileSync('README.md', 'utf8');
    const typed = [
      ...readme.matchAll(/`(my-profiles\/(?:motors|parts|units)\/[a-z-]+\.yaml)`:\n\n((?: {4}.*\n)+)/g),
    ];
    expect(typed).toHaveLength(3);
    for (const [, path = '', text = ''] of typed) {
      mkdirSync(join(folder, dirname(path)), { recursive: true });
      writeFileSync(join(folder, path), text.replace(/^ {4}/gm, ''));
    }
    const { code, stdout } = await profile('check', 'my-profiles');
    expect(stdout).toMatch(/ok, motor: .*\n.*ok, parts: .*\n.*ok, unit: /);
    expect(code).toBe(0);
  });
});

describe('throwbench profile new', () => {
  it('with no answer at all writes a motor and a unit that check takes', async () => {
    const { code, stdout, dir } = await answered();
    expect(code).toBe(0);
    expect(stdout).toContain('Written and checked');
    expect((await profile('check', dir)).stdout.match(/: ok, /g)).toHaveLength(2);
    expect(loadUnit(join(dir, 'units', 'my-unit.yaml')).motor.origin).toBe('generic');
  });

  it('takes units, commas, ids, numbers and "I do not know", and asks again after nonsense', async () => {
    const { stdout, dir } = await answered(
      ...[
        '1',
        'Side door step',
        'relay-pair-ground-thrown',
        '1',
        'entry-step',
        '12',
        '0,65 ohm',
        '900',
        '4,8 A',
      ],
      ...['I do not know', '1', '', '150 cm', 'AWG 14'],
    );
    expect(stdout).toContain('900 A cannot be right: type 0.01 to 11.1 A, such as 4.5 A');
    const { unit, motor } = loadUnit(join(dir, 'units', 'side-door-step.yaml'));
    expect(motor.resistanceOhm).toEqual({ nominal: 0.65, tolerancePercent: 10 });
    expect(motor.origin).toBe('learned');
    // As it was stated.
    expect(unit.wiring).toEqual({ lengthM: 1.5, awg: 14 });
    const text = readFileSync(join(dir, 'motors', 'side-door-step.yaml'), 'utf8');
    expect(text).toMatch(/# Between the two pins: measured\.\nresistanceOhm/);
    expect(text).toMatch(/speed as of the entry step motor/);
  });

  it('makes a motor that the solver runs on the current typed in', async () => {
    const { dir } = await answered('2', 'Bench motor', 'window-lift', '12', '0.8', '2.5', '3000');
    const unit = loadUnit(join(dir, 'units', 'bench-motor.yaml'));
    const input = nominalInput(unit);
    const { channels, timeS, position } = simulatePlan(
      { ...input, supply: { voltageV: 12, sourceResistanceOhm: 0.001 }, temperatureC: 25 },
      unit.plan,
    );
    const current = channels.motorCurrentA ?? new Float64Array();
    const last = position.lastIndexOf('forward');
    expect(timeS.length).toBe(current.length);
    // The rig's feed and wires take some 0.1 V of the 12: within 5 % of what was typed.
    expect((current[last] ?? 0) / 2.5).toBeCloseTo(1, 1);
  });

  it.each([
    ['rig', 'Vent by the rig', '1'],
    ['operator', 'Vent by a person', '2'],
    ['operator', 'Vent by default', ''],
  ] as const)(
    'has the %s throw a switch that carries the motor, as was answered for %s',
    async (throwBy, name, said) => {
      const { dir } = await answered(
        '1',
        name,
        'switch-carried-open-rest',
        ...['roof-vent', '', '', '', '', said],
      );
      const { plan } = loadUnit(join(dir, 'units', `${name.toLowerCase().replaceAll(' ', '-')}.yaml`));
      expect(plan.throwBy).toBe(throwBy);
    },
  );

  it.each([
    [{ wire: 'AWG' }, '18', { awg: 18 }, 'as AWG (or such as 1.5 mm²)? [AWG 16]'],
    [{ wire: 'AWG' }, '2/0', { awg: -1 }, '[AWG 16]'],
    [{ wire: 'AWG' }, '0.75 mm²', { areaMm2: 0.75 }, '[AWG 16]'],
    [{ wire: 'AWG' }, '', { awg: 16 }, '[AWG 16]'],
    [{ wire: 'AWG' }, '0.75\nAWG 99\n18 AWG', { awg: 18 }, '0.75 is no gauge: say 0.75 mm²'],
    [{}, '18 awg', { awg: 18 }, 'in mm² (or such as AWG 16)? [1.5 mm²]'],
    [{}, '0,75', { areaMm2: 0.75 }, '[1.5 mm²]'],
    [{}, '150\nabc\n', { areaMm2: 1.5 }, '150 mm² cannot be right'],
  ])('with %j settled takes the size %j as it was stated', async (forms, said, size, told) => {
    const path = join(folder, `settings-${count}.yaml`);
    writeFileSync(path, JSON.stringify(forms));
    vi.stubEnv('THROWBENCH_SETTINGS', path);
    try {
      const name = `Wire ${count}`;
      const { dir, stdout } = await answered(
        '2',
        name,
        ...['roof-vent', '', '', '', '', '2', ...said.split('\n')],
      );
      expect(stdout).toContain(told);
      const { wiring } = loadUnit(join(dir, 'units', `${name.toLowerCase().replace(' ', '-')}.yaml`)).unit;
      expect(wiring).toEqual({ lengthM: 2, ...size });
    } finally {
      vi.unstubAllEnvs();
    }
  });

  it.each([
    ['a harness on a load', ['3', 'Harness'], 'harness', 'harness'],
    ['a relay alone', ['4', 'Relay'], 'relay', 'relay'],
    ['a motor alone', ['2', 'Motor'], 'motor', 'motor'],
    [
      'who knows nothing',
      ['?', '?', '?', '?', '?', '?', '?', '?', '?', '?', '?', '?'],
      'my-unit',
      'harness-with-motor',
    ],
  ])('writes %s', async (_name, answers, id, subject) => {
    const { dir } = await answered(...answers);
    expect(loadUnit(join(dir, 'units', `${id}.yaml`)).unit.subject).toBe(subject);
  });

  it('new parts writes what was answered, and ratings could suggest it', async () => {
    const dir = join(folder, `own-${count++}`);
    const lines = [
      ...['Van parts', '1', '12 A', '8', '?', '24', 'rocker of 12 A', 'its sheet'],
      ...['wire', 'AWG 14', '', '', ''],
      ...['relay', '30', '40', '20', '', 'rocker of 12 A', 'our relay', ''],
      ...['relay', '20', '10', '24 V', '', ''],
      ...['fuse', '15', '200', '32 V', '', ''],
      'done',
    ];
    const stdin = Readable.from(lines.map((line) => `${line}\n`));
    const { code, stdout } = await call(command, ['new', 'parts', '--folder', dir], folder, { stdin });
    expect(code).toBe(0);
    expect(stdout).toContain('40 A cannot be right: type 0.01 to 30 A');
    expect(stdout).toContain('There is a part of this name already: type another name.');
    const path = join(dir, 'parts', 'van-parts.yaml');
    const { switches, wires, relays, fuses } = loadParts({ also: path });
    expect(switches.at(-1)).toMatchObject({
      ...{ id: 'rocker-of-12-a', carryA: 12, inductiveA: 8, ratedV: 24, source: 'its sheet' },
    });
    expect(switches.at(-1)).not.toHaveProperty('makeA');
    expect(wires.at(-1)).toMatchObject({ awg: 14, title: 'own wire of AWG 14' });
    expect(relays.at(-1)).toMatchObject({ title: 'own relay of 20 A, 24 V', ratedV: 24 });
    expect(stdout).toContain('200 V cannot be right: type 5 to 60 V');
    expect(fuses.at(-1)).toMatchObject({ title: 'own fuse of 15 A, 32 V', ratedA: 15, ratedV: 32 });
    expect(relays.at(-2)).not.toHaveProperty('ratedV');
    expect(relays.at(-2)).toMatchObject({
      ...{ title: 'our relay', makeA: 30, breakA: 20, source: 'common practice, no source' },
    });
    expect((await profile('check', dir)).stdout).toMatch(/: ok, parts: Van parts/);
  });

  it('new parts with no answer at all writes one switch, and a second call another file', async () => {
    const dir = join(folder, `own-${count++}`);
    for (const name of ['own-parts', 'own-parts-2']) {
      const stdin = Readable.from([]);
      const { code } = await call(command, ['new', 'parts', '--folder', dir], folder, { stdin });
      expect(code).toBe(0);
      expect(loadParts({ also: join(dir, 'parts', `${name}.yaml`) }).switches.at(-1)?.carryA).toBe(16);
    }
    await expect(profile('new', 'part')).rejects.toThrow();
  });

  it('overwrites nothing: a name that is there is asked for again', async () => {
    const first = await answered('2', 'Vent');
    const stdin = Readable.from(['2\n', 'Vent\n', 'Vent two\n']);
    const { stdout } = await call(command, ['new', '--folder', first.dir], folder, { stdin });
    expect(stdout).toContain('There is a file vent.yaml already: type another name.');
    expect(stdout).toContain('vent-two.yaml');
  });

  it('is run on the virtual bench as it is', async () => {
    const { dir } = await answered('1', 'Own vent', '', 'roof-vent');
    const logs = process.env.THROWBENCH_LOGS;
    process.env.THROWBENCH_LOGS = join(folder, 'logs');
    try {
      const path = join(dir, 'units', 'own-vent.yaml');
      const { code, stdout } = await call(
        run,
        ['--profile', path, '--unit', 'T-1', '--virtual', 'good', '--plain'],
        folder,
      );
      expect(stdout).toMatch(/PASS/);
      expect(code).toBe(0);
    } finally {
      if (logs === undefined) delete process.env.THROWBENCH_LOGS;
      else process.env.THROWBENCH_LOGS = logs;
    }
  });
});
