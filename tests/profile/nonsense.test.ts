// Profiles that say what no part, rig or plan could be are refused before anything is made of them: file, line, key,
// value, and what would be right. Ranges are common practice unless ranges.ts names a source.

import { mkdirSync, mkdtempSync, readdirSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { dirname, join } from 'node:path';
import fc from 'fast-check';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { InputError, oneLine, steeringIn, visible } from '../../host/input/index.js';
import {
  FOLDERS,
  jsonSchemaOf,
  loadCase,
  loadRig,
  loadTray,
  loadUnit,
  SCHEMAS,
  YamlFile,
} from '../../host/profile/index.js';

let folder: string;
beforeAll(() => {
  folder = mkdtempSync(join(tmpdir(), 'throwbench-nonsense-'));
});
afterAll(() => rmSync(folder, { recursive: true, force: true }));

function put(path: string, text: string): string {
  const full = join(folder, path);
  mkdirSync(dirname(full), { recursive: true });
  writeFileSync(full, text);
  return full;
}

function fault(action: () => unknown): string {
  try {
    action();
  } catch (error) {
    expect(error).toBeInstanceOf(InputError);
    const { message } = error as InputError;
    expect(steeringIn(message)).toBeUndefined();
    expect(message.length).toBeLessThan(420);
    return message.replaceAll(`${folder}/`, '');
  }
  throw new Error('loaded without a fault');
}

/** A shipped file with one line of it replaced, and what is said of it. */
function changed(path: string, [from, to]: readonly [from: string, to: string]): string {
  const text = readFileSync(`profiles/${path}`, 'utf8');
  expect(text).toContain(from);
  return text.replace(from, to);
}
const UNIT =
  'id: own\ntitle: Own\nkind: unit\ncircuit: relay-pair-ground-thrown\nmotor: entry-step\nrelay: mini-changeover\n';

const ofMotor = (from: string, to: string): string => {
  put('motors/entry-step.yaml', changed('motors/entry-step.yaml', [from, to]));
  const said = fault(() => loadUnit(put('units/own.yaml', UNIT)));
  rmSync(join(folder, 'motors'), { recursive: true });
  return said;
};
const ofRelay = (from: string, to: string): string => {
  put('relays/mini-changeover.yaml', changed('relays/mini-changeover.yaml', [from, to]));
  const said = fault(() => loadUnit(put('units/own.yaml', UNIT)));
  rmSync(join(folder, 'relays'), { recursive: true });
  return said;
};
const ofRig = (from: string, to: string): string =>
  fault(() => loadRig(put('r.yaml', changed('rigs/reference-rig.yaml', [from, to]))));
const ofUnit = (...lines: string[]): string =>
  fault(() => loadUnit(put('units/own.yaml', `${UNIT}${lines.join('\n')}\n`)));

describe('numbers that no part has', () => {
  it.each([
    [
      '900 Ohm',
      'nominal: 0.6,',
      'nominal: 900,',
      /^motors\/entry-step\.yaml:\d+: resistanceOhm\.nominal: 900 Ohm is too large; write 0\.02 to 100 Ohm \(/,
    ],
    [
      '90 Ohm of a 5 V motor',
      'nominalVoltageV: 12',
      'nominalVoltageV: 200',
      /nominalVoltageV: 200 V is too large; write 5 to 60 V/,
    ],
    [
      'a speed constant for the back-EMF',
      'nominal: 0.0347',
      'nominal: 0.0017',
      /backEmfVsPerRad: at 12 V the armature would turn at \d+ rpm; write 0\.002 or more/,
    ],
    [
      'torque in N cm',
      'nominal: 0.034,',
      'nominal: 0.34,',
      /torqueNmPerA: 0\.34 N m\/A does not go with a back-EMF of 0\.0347 V s\/rad; write about 0\.0337/,
    ],
    [
      'friction that holds the rotor',
      'nominal: 0.083',
      'nominal: 0.9',
      /coulombNm: .* it never turns; write less than 0\.663/,
    ],
    [
      'held below running',
      'heldA: { least: 15, most: 40 }',
      'heldA: { least: 5, most: 8 }',
      /family\.heldA\.most: 8 A held is less than 12 A running/,
    ],
    [
      'a comma',
      'brushDropV: 0.3',
      'brushDropV: 0,3',
      /brushDropV: '0,3' is not a number; write 0\.3, with a decimal point$/,
    ],
    [
      'a unit',
      'brushDropV: 0.3',
      'brushDropV: 300 mV',
      /brushDropV: '300 mV' is not a number; write 0\.3, the number alone: it counts in V$/,
    ],
    [
      'a unit of something else',
      'brushDropV: 0.3',
      'brushDropV: 3 Nm',
      /'3 Nm' is not a number; write it in V, the number alone$/,
    ],
    [
      'quotes',
      'brushDropV: 0.3',
      "brushDropV: '0.3'",
      /brushDropV: '0\.3' is not a number; write 0\.3, without quotes$/,
    ],
  ])('tells a motor with %s', (_name, from, to, said) => {
    expect(ofMotor(from, to)).toMatch(said);
  });

  it.each([
    [
      'an operate time of seconds',
      'nominal: 0.006,',
      'nominal: 7,',
      /operateS\.nominal: 7 s is too large; write 0\.0002 to 0\.1 s \(.*7 ms is 0\.007\)$/,
    ],
    [
      'a drop-out above its pull-in',
      'nominal: 2.6,',
      'nominal: 7.5,',
      /^relays\/mini-changeover\.yaml:\d+: dropOutVoltageV: drops out at 7\.5 V, above its pull-in of 7 V; write less than 7/,
    ],
    [
      'a pull-in above its coil',
      'nominal: 7.0,',
      'nominal: 13,',
      /pullInVoltageV: pulls in at 13 V, and its coil is for 12 V; write less than 12/,
    ],
    [
      'ohms for milliohms',
      'nominal: 0.003,',
      'nominal: 3,',
      /makeResistanceOhm\.nominal: 3 Ohm is too large; .*3 mOhm is 0\.003/,
    ],
    [
      'ohms written out',
      'resistanceOhm: 680',
      'resistanceOhm: 0.68 kOhm',
      /suppression\.resistanceOhm: '0\.68 kOhm' is not a number; write 680,/,
    ],
  ])('tells a relay with %s', (_name, from, to, said) => {
    expect(ofRelay(from, to)).toMatch(said);
  });

  it.each([
    [
      'a count scale of nothing',
      'perCount: 0.0009765625',
      'perCount: 0',
      /scales\.coilCurrentA\.perCount: 0 is too small; write 1e-7 to 10/,
    ],
    [
      'a count scale below nothing',
      'perCount: 0.0009765625',
      'perCount: -0.001',
      /perCount: -0\.001 is too small; write 1e-7 to 10/,
    ],
    [
      'a trip beyond one end of the scale',
      'atZeroCount: -40',
      'atZeroCount: -20',
      /trip\.motorCurrentA: 30 A is off the scale; write less than 20$/,
    ],
    [
      'a supply beyond its scale',
      'perCount: 0.01953125',
      'perCount: 0.01',
      /scales\.supplyVoltageV\.perCount: the scale ends at 10\.2 V, and the supply has 13 V; write more than 0\.0127$/,
    ],
    [
      'a clamp below the supply',
      'leadClampV: 30',
      'leadClampV: 12',
      /leadClampV: 12 V conducts already at the supply of 13 V; write more than 14\.3/,
    ],
    ['half a bit', 'adcBits: 10', 'adcBits: 10.5', /adcBits: 10\.5 is not a whole number; write 6 to 24/],
  ])('tells a rig with %s', (_name, from, to, said) => {
    expect(ofRig(from, to)).toMatch(said);
  });

  it('tells a wire as thick as a house', () => {
    expect(ofUnit('wiring: { lengthM: 1.5, areaMm2: 250 }')).toMatch(
      /^units\/own\.yaml:7: wiring\.areaMm2: 250 mm² is too large; write 0\.05 to 120 mm² \(/,
    );
    expect(ofUnit('wiring: { lengthM: 150 cm, areaMm2: 1 }')).toMatch(
      /write 1\.5, the number alone: it counts in m$/,
    );
  });

  it('tells a factor on something that no motor has', () => {
    const said = fault(() =>
      loadCase(put('c.yaml', 'id: c\ntitle: C\nkind: case\nseed: 1\nmotorScale: { resistnceOhm: 2 }\n')),
    );
    expect(said).toBe('c.yaml:5: motorScale.resistnceOhm: unknown key; did you mean resistanceOhm?');
  });
});

describe('every number of every kind of profile', () => {
  it('has a range with its reason, and the shipped files lie within', () => {
    const without: string[] = [];
    const walk = (node: unknown, path: string): void => {
      if (typeof node !== 'object' || node === null) return;
      const { type, minimum, maximum, why } = node as Record<string, unknown>;
      const isBound = typeof minimum === 'number' && typeof maximum === 'number' && maximum < 1e15;
      if ((type === 'number' || (type === 'integer' && why !== undefined)) && !isBound) without.push(path);
      for (const [key, inner] of Object.entries(node)) walk(inner, `${path}.${key}`);
    };
    for (const [kind, schema] of Object.entries(SCHEMAS)) walk(jsonSchemaOf(schema), kind);
    expect(without).toEqual([]);
  });
});

describe('files that are none', () => {
  const timed = (action: () => unknown): number => {
    const from = performance.now();
    action();
    return (performance.now() - from) / 1000;
  };

  it('refuses sixty thousand unknown keys in well under a second', () => {
    const many = Array.from({ length: 60_000 }, (_, i) => `key${i}: ${i}`);
    const path = put('many.yaml', `${UNIT}${many.join('\n')}\n`);
    expect(
      timed(() =>
        expect(fault(() => loadUnit(path))).toMatch(
          /has about 600\d\d keys and items; a profile has some hundreds/,
        ),
      ),
    ).toBeLessThan(1);
    const some = put('some.yaml', `${UNIT}${many.slice(0, 10_000).join('\n')}\n`);
    expect(fault(() => loadUnit(some))).toMatch(/key0: unknown key/);
  });

  it.each([
    ['open brackets', `a: ${'['.repeat(400_000)}`],
    ['closed brackets', `a: ${'['.repeat(300)}${']'.repeat(300)}`],
    ['dashes', '- '.repeat(10_000)],
    ['indents', Array.from({ length: 900 }, (_, i) => `${' '.repeat(i)}k:`).join('\n')],
  ])('tells nesting without end in words: %s', (_name, text) => {
    const said = fault(() => loadUnit(put('deep.yaml', text)));
    expect(said).toMatch(/lists and mappings lie within each other more than 40 deep; close the brackets/);
  });

  it('tells an alias that stands within itself, and takes one that does not', () => {
    expect(fault(() => loadUnit(put('round.yaml', 'id: &a [*a]\n')))).toMatch(
      /round\.yaml:1: \*a stands within itself; write the value out/,
    );
    const text = readFileSync('profiles/motors/entry-step.yaml', 'utf8')
      .replace('{ nominal: 0.0347, tolerancePercent: 8 }', '&k 0.034')
      .replace('{ nominal: 0.034, tolerancePercent: 8 }', '*k');
    put('motors/entry-step.yaml', text);
    expect(loadUnit(put('units/own.yaml', UNIT)).motor.torqueNmPerA).toBe(0.034);
    rmSync(join(folder, 'motors'), { recursive: true });
  });

  it('keeps one line to what matters, whatever stood in the file', () => {
    const long = 'x'.repeat(5000);
    expect(ofUnit(`${long}: 1`).length).toBeLessThan(400);
    expect(ofUnit(`throwBy: ${long}`).length).toBeLessThan(400);
    expect(ofUnit(`plan: ${long}`).length).toBeLessThan(420);
    expect(ofUnit(`rules: { ${long}: 1 }`).length).toBeLessThan(400);
  });
});

/** Any character that steers, in any place of any text. */
const steering = fc
  .oneof(
    fc.integer({ min: 0, max: 0x1f }),
    fc.integer({ min: 0x7f, max: 0x9f }),
    fc.constantFrom(0x061c, 0x200b, 0x200e, 0x200f, 0x202a, 0x202b, 0x202c, 0x202d, 0x202e, 0x2028, 0x2029),
    fc.integer({ min: 0x2066, max: 0x2069 }),
    fc.constantFrom(0xfeff, 0xd800, 0xdfff),
  )
  .map((code) => String.fromCharCode(code));
const SEED = 20261129;

describe('characters that steer a terminal', () => {
  /** Cc and Cf of Unicode are all that steer; what is shown has none but line ends and tabs. */
  const hidden = /[\p{Cc}\p{Cf}\p{Cs}\p{Zl}\p{Zp}]/u;

  it('are shown in any text, and the rest is left as it is', () => {
    fc.assert(
      fc.property(
        fc.array(fc.oneof(steering, fc.string(), fc.constant('Ω ± µ é 界 😀')), { maxLength: 12 }),
        (parts) => {
          const text = parts.join('');
          expect(visible(text).replace(/[\n\t]|\r(?=\n)/g, '')).not.toMatch(hidden);
          expect(oneLine(text)).not.toMatch(hidden);
        },
      ),
      { seed: SEED, numRuns: 2000 },
    );
    expect(visible('Ω ± µ é 界 😀\n\ta\r\n')).toBe('Ω ± µ é 界 😀\n\ta\r\n');
  });

  it('leave JSON the same to a program', () => {
    fc.assert(
      fc.property(fc.array(fc.oneof(steering, fc.string())), (parts) => {
        const value = { [parts.join('')]: parts };
        expect(JSON.parse(visible(JSON.stringify(value)))).toEqual(value);
      }),
      { seed: SEED, numRuns: 500 },
    );
  });

  it('enter through no text of a profile, a tray, a case, a circuit or a rig', () => {
    const files = Object.values(FOLDERS)
      .flat()
      .flatMap((folder) =>
        readdirSync(`profiles/${folder}`)
          .filter((name) => name.endsWith('.yaml'))
          .map((name) => readFileSync(`profiles/${folder}/${name}`, 'utf8')),
      );
    const texts = files.flatMap((text) =>
      [...text.matchAll(/: ([A-Z][^:{}[\],#'"\n]+)$/gm)].flatMap((found) => {
        const isRemark = text.slice(text.lastIndexOf('\n', found.index) + 1, found.index).includes('#');
        return isRemark ? [] : [{ text, found }];
      }),
    );
    expect(texts.length).toBeGreaterThan(40);
    fc.assert(
      fc.property(fc.nat(texts.length - 1), steering, fc.nat(), (which, character, at) => {
        const { text, found } = texts[which] ?? { text: '', found: undefined };
        const [, words = ''] = found ?? [];
        const place = at % (words.length + 1);
        const code = character.charCodeAt(0).toString(16).padStart(4, '0');
        const spoilt = `"${words.slice(0, place)}\\u${code}${words.slice(place)}"`;
        const from = (found?.index ?? 0) + 2;
        const whole = text.slice(0, from) + spoilt + text.slice(from + words.length);
        expect(fault(() => YamlFile.parse(whole, 'f.yaml'))).toMatch(
          /^f\.yaml:\d+: the text (holds \\u|runs over)/,
        );
      }),
      { seed: SEED, numRuns: 400 },
    );
  });

  it('are refused in a tag, by its line', () => {
    const text =
      'id: t\ntitle: T\nkind: tray\nunits:\n  - { tag: "V-\\u202e1", profile: roof-vent-switch }\n';
    expect(fault(() => loadTray(put('t.yaml', text)))).toBe(
      't.yaml:5: the text holds \\u202e, which is no letter; take that character out',
    );
  });
});
