// A fault in a profile is one line: file, line, key, what is wrong, what would be right.

import { mkdirSync, mkdtempSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { dirname, join } from 'node:path';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { InputError, oneLine } from '../../host/input/index.js';
import { loadCase, loadRig, loadTray, loadUnit } from '../../host/profile/index.js';

let folder: string;
beforeAll(() => {
  folder = mkdtempSync(join(tmpdir(), 'throwbench-profiles-'));
});
afterAll(() => rmSync(folder, { recursive: true, force: true }));

function put(path: string, text: string | Uint8Array): string {
  const full = join(folder, path);
  mkdirSync(dirname(full), { recursive: true });
  writeFileSync(full, text);
  return full;
}

/** The message with the test's own folder taken out. */
function fault(action: () => unknown): string {
  try {
    action();
  } catch (error) {
    expect(error).toBeInstanceOf(InputError);
    const { message } = error as InputError;
    expect(message).not.toMatch(/[\r\n]/);
    return message.replaceAll(`${folder}/`, '');
  }
  throw new Error('loaded without a fault');
}

const unit = (...lines: string[]): string =>
  [
    'id: vent',
    'title: Vent',
    'kind: unit',
    'circuit: switch-carried-open-rest',
    'motor: roof-vent',
    ...lines,
    '',
  ].join('\n');

const motor = (changed: Record<string, string | undefined> = {}): string =>
  Object.entries({
    id: 'odd-motor',
    title: 'Motor',
    kind: 'motor',
    nominalVoltageV: '12',
    origin: 'generic',
    resistanceOhm: '{ nominal: 1.5, tolerancePercent: 10 }',
    inductanceH: '0.002',
    backEmfVsPerRad: '0.03',
    torqueNmPerA: '0.03',
    inertiaKgM2: '1e-5',
    viscousNms: '1e-5',
    coulombNm: '0.02',
    ...changed,
  })
    .filter(([, value]) => value !== undefined)
    .map(([key, value]) => `${key}: ${value}\n`)
    .join('');

describe('a unit profile that cannot be used', () => {
  it.each([
    [
      'a misspelt key',
      unit('temprature: 22'),
      'u.yaml:6: temprature: unknown key; did you mean temperatureC?',
    ],
    [
      'a key like none',
      unit('colour: red'),
      'u.yaml:6: colour: unknown key; known here: id, title, kind, circuit, motor, load, relay, subject and 13 more',
    ],
    [
      'a misspelt inner key',
      unit('rules:', '  drews: 80'),
      'u.yaml:7: rules.drews: unknown key; did you mean draws?',
    ],
    [
      'too few draws',
      unit('rules:', '  draws: 5'),
      'u.yaml:7: rules.draws: 5 is too small; write 20 or more',
    ],
    ['half a draw', unit('rules:', '  draws: 80.5'), 'u.yaml:7: rules.draws: 80.5 is not a whole number'],
    [
      'a word for a number',
      unit('wiring: { lengthM: long, areaMm2: 1 }'),
      "u.yaml:6: wiring.lengthM: 'long' is not a number; write 0.001 to 100 m (wires of a vehicle: 150 cm is 1.5)",
    ],
    [
      'a decimal comma',
      unit('wiring:', '  lengthM: 1,5', '  areaMm2: 1'),
      "u.yaml:7: wiring.lengthM: '1,5' is not a number; write 1.5, with a decimal point",
    ],
    [
      'a missing inner key',
      unit('wiring:', '  areaMm2: 1.5'),
      'u.yaml:6: wiring.lengthM: is missing; write a number',
    ],
    [
      'a wire without a size',
      unit('wiring:', '  lengthM: 1.5'),
      'u.yaml:6: wiring: give the size once, as areaMm2 or as awg',
    ],
    [
      'a wire with two sizes',
      unit('wiring: { lengthM: 1.5, areaMm2: 1.5, awg: 16 }'),
      'u.yaml:6: wiring: give the size once, as areaMm2 or as awg',
    ],
    [
      'a list for a mapping',
      unit('wiring: [1, 2]'),
      'u.yaml:6: wiring: a list is not a mapping with lengthM',
    ],
    [
      'a negative length',
      unit('wiring: { lengthM: -1, areaMm2: 1 }'),
      'u.yaml:6: wiring.lengthM: -1 m is too small; write 0.001 to 100 m (wires of a vehicle: 150 cm is 1.5)',
    ],
    [
      'an unknown motor',
      unit().replace('roof-vent', 'roof-vnt'),
      "u.yaml:5: motor: 'roof-vnt': no motor of this id in profiles/motors; did you mean roof-vent?",
    ],
    [
      'a relay where none is',
      unit('relay: mini-changeover'),
      'u.yaml:6: relay: switch-carried-open-rest has no relay; remove this line, or choose a circuit with relays',
    ],
    [
      'no relay where some are',
      unit().replace('switch-carried-open-rest', 'relay-pair-ground-thrown'),
      'u.yaml:4: circuit: relay-pair-ground-thrown has relays, but no relay is named; add a line such as relay: mini-changeover',
    ],
    [
      'an id with a capital',
      unit().replace('id: vent', 'id: Vent'),
      "u.yaml:1: id: 'Vent' does not fit; use lower-case words joined by hyphens, such as roof-vent-motor",
    ],
    [
      'another kind',
      motor(),
      'u.yaml:3: kind: this is a motor where a unit is wanted; name the file of a unit',
    ],
    [
      'an unknown kind',
      unit().replace('kind: unit', 'kind: unti'),
      "u.yaml:3: kind: 'unti' is not known; write unit",
    ],
    [
      'a key twice',
      unit('motor: entry-step'),
      'u.yaml:6: a key stands twice in the same mapping; keep one of the two',
    ],
    ['a tab', 'id: vent\nwiring:\n\tlengthM: 1\n', 'u.yaml:3: a tab indents the line; indent with spaces'],
    ['a list at the top', '- id: vent\n', 'u.yaml: is not a mapping; write one `key: value` a line'],
    [
      'a second document',
      `${unit()}---\n${unit()}`,
      'u.yaml:6: a second document starts; keep one profile a file',
    ],
    ['nothing in it', '', 'u.yaml: is empty; write the keys of a profile into it'],
  ])('is told by line, key and mend: %s', (_name, text, message) => {
    expect(fault(() => loadUnit(put('u.yaml', text)))).toBe(message);
  });

  it('names the bracket that is never closed', () => {
    expect(fault(() => loadUnit(put('u.yaml', unit('wiring: { lengthM: 1'))))).toBe(
      'u.yaml:7: a bracket is opened before here and never closed; close it with }',
    );
  });

  it('passes on what the YAML parser says of other faults', () => {
    expect(fault(() => loadUnit(put('u.yaml', unit('rig: "open'))))).toMatch(
      /^u\.yaml:\d+: not valid YAML \(.*\); write/,
    );
  });

  it('is told when the file is not there, is a folder, is not text, or is huge', () => {
    expect(fault(() => loadUnit(join(folder, 'absent.yaml')))).toBe(
      'absent.yaml: no such file; check the path',
    );
    expect(fault(() => loadUnit(`${folder}/`))).toMatch(/is not a file; name a YAML file$/);
    expect(fault(() => loadUnit(put('latin.yaml', Uint8Array.of(0x69, 0x64, 0x3a, 0x20, 0xe9, 0x0a))))).toBe(
      'latin.yaml: is not UTF-8 text; save it as UTF-8',
    );
    expect(fault(() => loadUnit(put('huge.yaml', `# ${'x'.repeat(1_000_001)}\n`)))).toBe(
      'huge.yaml: has 1000004 bytes; a profile has less than 1 MB',
    );
  });

  it('refuses a file of nested aliases instead of filling the memory', () => {
    const levels = Array.from(
      { length: 12 },
      (_, i) => `a${i + 1}: &a${i + 1} [${Array(9).fill(`*a${i}`).join(', ')}]`,
    );
    expect(fault(() => loadUnit(put('bomb.yaml', ['a0: &a0 [x]', ...levels, ''].join('\n'))))).toMatch(
      /^bomb\.yaml: cannot be read \(.*alias.*\); write the values out instead of aliases$/,
    );
  });

  it('is told with the nearest id when no such unit is known', () => {
    expect(fault(() => loadUnit('roof-vent-swich'))).toBe(
      'roof-vent-swich: no unit of this id in profiles/units; did you mean roof-vent-switch?',
    );
    expect(fault(() => loadUnit('zzz'))).toMatch(
      /^zzz: no unit of this id in profiles\/units; known: .*entry-step-alone/,
    );
  });
});

describe('a motor that cannot be used', () => {
  const load = (text: string): string => {
    put('motors/odd-motor.yaml', text);
    return fault(() =>
      loadUnit(
        put('units/odd.yaml', unit().replace('id: vent', 'id: odd').replace('roof-vent', 'odd-motor')),
      ),
    );
  };
  it.each([
    [
      'a missing quantity',
      { resistanceOhm: undefined },
      'motors/odd-motor.yaml: resistanceOhm: is missing; write a number or a mapping with nominal and tolerancePercent',
    ],
    [
      'a misspelt quantity',
      { resistanceOhm: undefined, resistanceOhms: '1' },
      'motors/odd-motor.yaml:12: resistanceOhms: unknown key; did you mean resistanceOhm?',
    ],
    [
      'a resistance of nothing',
      { resistanceOhm: '0' },
      'motors/odd-motor.yaml:6: resistanceOhm: 0 Ohm is too small; write 0.02 to 100 Ohm (a held rotor takes its voltage over this: at 12 V 0.12 to 600 A)',
    ],
    [
      'a tolerance above all',
      { resistanceOhm: '{ nominal: 1, tolerancePercent: 120 }' },
      'motors/odd-motor.yaml:6: resistanceOhm.tolerancePercent: 120 % is too large; write 0 to 90 % (half of the spread; with more a part would have nothing left)',
    ],
    [
      'a tolerance misspelt',
      { resistanceOhm: '{ nominal: 1, tolerance: 12 }' },
      'motors/odd-motor.yaml:6: resistanceOhm.tolerance: unknown key; did you mean tolerancePercent?',
    ],
    [
      'text for a quantity',
      { resistanceOhm: '1.5 Ohm' },
      "motors/odd-motor.yaml:6: resistanceOhm: '1.5 Ohm' is not a number; write 1.5, the number alone: it counts in Ohm",
    ],
    [
      'not a number',
      { resistanceOhm: '.nan' },
      'motors/odd-motor.yaml:6: resistanceOhm: .nan is not a number; write 0.02 to 100 Ohm (a held rotor takes its voltage over this: at 12 V 0.12 to 600 A)',
    ],
    [
      'an unknown origin',
      { origin: 'generik' },
      "motors/odd-motor.yaml:5: origin: 'generik' is not known; did you mean generic?",
    ],
    [
      'another id than its file',
      { id: 'even-motor' },
      "motors/odd-motor.yaml:1: id: 'even-motor' differs from the file name; write odd-motor, or name the file even-motor.yaml",
    ],
    [
      'a decimal comma within braces',
      { resistanceOhm: '{ nominal: 1,5, tolerancePercent: 10 }' },
      'motors/odd-motor.yaml:6: resistanceOhm.5: a comma parts this number, and its end is read as a key; write it with a decimal point, such as 0.5',
    ],
  ])('is told by line, key and mend: %s', (_name, changed, message) => {
    expect(load(motor(changed))).toBe(message);
  });

  it.each(['shop/motors/mine.yaml', 'shop/lift.yaml', 'shop/units/lift.yaml'])(
    'is found by what it says where its file lies at %s, and told where to put it',
    (place) => {
      const put1 = put(place, motor({ id: 'lift' }));
      const of = put(
        'shop/units/odd.yaml',
        unit().replace('id: vent', 'id: odd').replace('roof-vent', 'lift'),
      );
      expect(fault(() => loadUnit(of))).toMatch(
        new RegExp(`no motor of this id .*; ${place} says to be it: name that file shop/motors/lift.yaml$`),
      );
      rmSync(put1);
    },
  );
});

describe('a plan that cannot be driven', () => {
  const load = (steps: string[]): string => {
    put('plans/odd.yaml', ['id: odd', 'title: Odd', 'kind: plan', 'steps:', ...steps, ''].join('\n'));
    return fault(() => loadUnit(put('units/vent.yaml', unit('plan: odd'))));
  };
  it.each([
    [
      'opposite throws without a rest',
      ['  - { position: forward, durationS: 1 }', '  - { position: reverse, durationS: 1 }'],
      'plans/odd.yaml:6: steps[1].position: reverse follows forward after 0 s; put at least 0.3 s of rest between them',
    ],
    [
      'a rest shorter than the dead time',
      [
        '  - { position: forward, durationS: 1 }',
        '  - { position: rest, durationS: 0.2 }',
        '  - { position: reverse, durationS: 1 }',
      ],
      'plans/odd.yaml:7: steps[2].position: reverse follows forward after 0.2 s; put at least 0.3 s of rest between them',
    ],
    [
      'the full feed from the start',
      [
        '  - { position: rest, durationS: 1 }',
        '  - { position: forward, durationS: 1 }',
        '  - { position: rest, durationS: 1, feed: limited }',
      ],
      'plans/odd.yaml:5: steps[0].feed: the full feed comes on before the limited feed has met rest and forward; put a step with feed: limited before it for each, as in throw-both-ways',
    ],
    [
      'one throw that the limited feed has not met',
      [
        '  - { position: rest, durationS: 1, feed: limited }',
        '  - { position: forward, durationS: 1, feed: limited }',
        '  - { position: rest, durationS: 1, feed: full }',
        '  - { position: reverse, durationS: 1, feed: full }',
      ],
      'plans/odd.yaml:7: steps[2].feed: the full feed comes on before the limited feed has met reverse; put a step with feed: limited before it for each, as in throw-both-ways',
    ],
    [
      'a hold longer than the motor bears',
      ['  - position: forward', '    durationS: 20'],
      'plans/odd.yaml:6: steps[0].durationS: 20 s is too long a throw; write 5 or less: roof-vent bears no longer hold',
    ],
    [
      'an unknown position',
      ['  - { position: up, durationS: 1 }'],
      "plans/odd.yaml:5: steps[0].position: 'up' is not known; write rest, forward or reverse",
    ],
    ['no step', ['  []'], 'plans/odd.yaml:4: steps: a list is too small; list at least 1'],
  ])('is told by line, key and mend: %s', (_name, steps, message) => {
    expect(load(steps)).toBe(message);
  });
});

describe('other files that cannot be used', () => {
  it('tells a tag that stands twice on a tray', () => {
    const text =
      'id: t\ntitle: T\nkind: tray\nunits:\n  - { tag: V-1, profile: roof-vent-switch }\n  - { tag: V-1, profile: roof-vent-switch }\n';
    expect(fault(() => loadTray(put('t.yaml', text)))).toBe(
      "t.yaml:6: units[1].tag: 'V-1' stands already in line 5; give each unit its own tag",
    );
  });

  it('tells a seed that is missing in a case', () => {
    expect(fault(() => loadCase(put('c.yaml', 'id: c\ntitle: C\nkind: case\n')))).toBe(
      'c.yaml: seed: is missing; write a whole number',
    );
  });

  it('tells a trip that the rig cannot read', async () => {
    const { readFileSync } = await import('node:fs');
    const text = readFileSync('profiles/rigs/reference-rig.yaml', 'utf8').replace(
      'trip: { motorCurrentA: 30',
      'trip: { motorCurrentA: 38.5',
    );
    expect(fault(() => loadRig(put('r.yaml', text)))).toMatch(
      /^r\.yaml:\d+: trip\.motorCurrentA: 38\.5 A is more than the rig's amplifier can show; write 37\.5 or less$/,
    );
  });

  it('tells an element kind that no circuit style has', async () => {
    const { readFileSync } = await import('node:fs');
    const text = readFileSync('profiles/circuits/switch-carried-open-rest.yaml', 'utf8')
      .replace('id: switch-carried-open-rest', 'id: own-style')
      .replace('kind: switch\n', 'kind: swich\n');
    put('circuits/own-style.yaml', text);
    expect(
      fault(() => loadUnit(put('units/own.yaml', unit().replace('switch-carried-open-rest', 'own-style')))),
    ).toMatch(
      /^circuits\/own-style\.yaml:\d+: elements\[2\]\.kind: 'swich' is not known; did you mean switch\?$/,
    );
  });

  it('refuses a trigger style whose positions move a switch, which the rig cannot', async () => {
    const { readFileSync } = await import('node:fs');
    const text = readFileSync('profiles/circuits/relay-pair-ground-thrown.yaml', 'utf8')
      .replace('id: relay-pair-ground-thrown', 'id: own-pair')
      .replace(
        'elements:\n',
        'elements:\n  - { id: master, kind: switch, title: master switch, poles: [{ id: pole, common: rig.feed, throws: { on: feed-joint } }] }\n',
      )
      .replace(
        '  forward: { rig.throw-forward: closed',
        '  forward: { master: on, rig.throw-forward: closed',
      );
    put('circuits/own-pair.yaml', text);
    const own = unit('relay: mini-changeover').replace('switch-carried-open-rest', 'own-pair');
    expect(fault(() => loadUnit(put('units/own.yaml', own)))).toMatch(
      /^circuits\/own-pair\.yaml:\d+: positions\.forward\.master: the rig throws a trigger style by rig\.throw-forward and rig\.throw-reverse and cannot move master; put it under stations, or let the stand-in throw$/,
    );
  });

  it('shows control characters instead of passing them to the terminal', () => {
    expect(oneLine('a\u001b[2Jb\nc\td\u2028e')).toBe('a\\u001b[2Jb c\\u0009d\\u2028e');
  });
});
