// Scenario files: everything stated, so that the run can be held against closed forms and other programmes.

import { fileURLToPath } from 'node:url';
import { describe, expect, it } from 'vitest';
import { danglingNodes, runScenario, scenarioSchema } from '../../host/circuit/index.js';
import { checkShape, YamlFile } from '../../host/profile/index.js';

const SCENARIO = `
title: Motor step from a stiff supply through one contact
kind: scenario
durationS: 0.3
sampleRateHz: 2000
relativeTolerance: 1e-6
elements:
  - { kind: supply, id: battery, plus: bat, minus: ground, voltageV: 12, sourceResistanceOhm: 0 }
  - { kind: contact, id: key, a: bat, b: lead-a, closed: false, contactResistanceOhm: 0.01, closeDelayS: 0.01, openDelayS: 0 }
  - { kind: resistor, id: load, a: lead-a, b: ground, resistanceOhm: 33000 }
  - kind: motor
    id: motor
    a: lead-a
    b: ground
    temperatureC: 25
    resistanceOhm: 1
    inductanceH: 0.002
    backEmfVsPerRad: 0.03
    torqueNmPerA: 0.03
    inertiaKgM2: 2.0e-5
    viscousNms: 1.0e-4
    coulombNm: 0
    brushDropV: 0
    brushKneeA: 0.2
schedule:
  - { atS: 0.04, position: forward, set: { key: closed } }
sense:
  motorCurrentA: { current: motor }
  leadAVoltageV: { voltage: lead-a }
  supplyVoltageV: { voltage: bat }
  speedRadS: motor
`;

const read = (text: string) => checkShape(scenarioSchema, YamlFile.parse(text, 'scenario.yaml'));

describe('a scenario', () => {
  const { capture, speedRadS } = runScenario(read(SCENARIO));

  it('lies on the uniform grid it asked for, with the position thrown and the columns it senses', () => {
    expect(capture.timeS).toHaveLength(601);
    expect(capture.timeS[1]).toBe(0.0005);
    expect(Object.keys(capture.channels)).toEqual(['motorCurrentA', 'leadAVoltageV', 'supplyVoltageV']);
    expect(capture.position.indexOf('forward')).toBe(80);
  });

  it('follows the closed form of a motor step: two poles, current and speed', () => {
    // L di/dt = V - R i - ke w, J dw/dt = kt i - b w; R with the contact 1.01 Ohm, step at 0.05 s.
    const [R, L, k, J, b, V] = [1.01, 0.002, 0.03, 2e-5, 1e-4, 12];
    const half = (R / L + b / J) / 2;
    const root = Math.sqrt(half * half - (R * b + k * k) / (L * J));
    const [p1, p2] = [half + root, half - root];
    const endSpeed = (V * k) / (R * b + k * k);
    const speed = (t: number) =>
      endSpeed * (1 + (p2 * Math.exp(-p1 * t) - p1 * Math.exp(-p2 * t)) / (p1 - p2));
    const slope = (t: number) => (endSpeed * p1 * p2 * (Math.exp(-p2 * t) - Math.exp(-p1 * t))) / (p1 - p2);
    const got = speedRadS!;
    let worstA = 0;
    let worstRadS = 0;
    for (let i = 101; i < capture.timeS.length; i++) {
      const t = capture.timeS[i]! - 0.05;
      worstRadS = Math.max(worstRadS, Math.abs(got[i]! - speed(t)));
      worstA = Math.max(
        worstA,
        Math.abs(capture.channels.motorCurrentA![i]! - (J * slope(t) + b * speed(t)) / k),
      );
    }
    expect(worstRadS / endSpeed).toBeLessThan(1e-4);
    expect(worstA / (V / R)).toBeLessThan(1e-4);
  });

  it('gives a finer grid the same values', () => {
    const { capture: fine } = runScenario(read(SCENARIO.replace('sampleRateHz: 2000', 'sampleRateHz: 8000')));
    capture.channels.motorCurrentA!.forEach((value, i) => {
      expect(Math.abs(fine.channels.motorCurrentA![i * 4]! - value)).toBeLessThan(1e-3);
    });
  });

  it.each([
    ['closeDelayS: 0.01, ', '', /elements\[1\]\.closeDelayS: is missing; write a number/],
    [
      'resistanceOhm: 33000',
      'resistanceOhms: 33000',
      /resistanceOhms: unknown key; did you mean resistanceOhm/,
    ],
    ['position: forward', 'position: forwards', /forwards' is not known; did you mean forward/],
  ])('is refused with place and mend when it has %s as %s', (from, to, message) => {
    expect(() => read(SCENARIO.replace(from, to))).toThrow(message);
  });

  it('is refused by the solver when a schedule sets what is not there', () => {
    expect(() =>
      runScenario(read(SCENARIO.replace('set: { key: closed }', 'set: { lock: closed }'))),
    ).toThrow(/no element lock/);
  });

  it.each(['switch-carried-cycle', 'relay-pair-cycle'])(
    '%s, which ships as an example, runs both ways at 4 A',
    (name) => {
      // Loop of 0.85 Ohm and a friction of 4 A at 0.03 N m/A: 320 rad/s.
      const path = fileURLToPath(new URL(`../../profiles/scenarios/${name}.yaml`, import.meta.url));
      const { capture, speedRadS } = runScenario(checkShape(scenarioSchema, YamlFile.read(path)));
      const { timeS, channels } = capture;
      const at = (second: number) => timeS.findIndex((each) => each >= second);
      expect(channels.motorCurrentA![at(0.89)]!).toBeCloseTo(4, 2);
      expect(channels.motorCurrentA![at(1.99)]!).toBeCloseTo(-4, 1);
      expect(speedRadS![at(0.89)]).toBeCloseTo(320, -0.5);
    },
  );
});

describe('what a scenario senses and says', () => {
  it('writes any current and any voltage under a free name', () => {
    const { more, capture } = runScenario(
      read(`${SCENARIO}  load_current: { current: load }\n  bus: { voltage: bat, against: lead-a }\n`),
    );
    expect(Object.keys(more)).toEqual(['load_current', 'bus']);
    const volts = capture.channels.leadAVoltageV!;
    // Ohm's law of the load, 33 kOhm.
    for (const [i, amperes] of more.load_current!.entries())
      expect(Math.abs(amperes - volts[i]! / 33_000)).toBeLessThan(1e-9);
    for (const [i, across] of more.bus!.entries())
      expect(Math.abs(across - (capture.channels.supplyVoltageV![i]! - volts[i]!))).toBeLessThan(1e-9);
  });

  it('takes true and false for a contact, as a message may advise', () => {
    const { capture } = runScenario(read(SCENARIO.replace('key: closed', 'key: true')));
    expect(capture.channels.motorCurrentA!.at(-1)).toBeGreaterThan(0.05);
  });

  const lineOf = (text: string, part: string): number =>
    text.split('\n').findIndex((line) => line.includes(part)) + 1;
  it.each([
    [
      'atS: 0.04',
      'atS: 0.4',
      /atS: 0\.4 s lies behind the end at 0\.3 s; move it forward, or make durationS longer/,
    ],
    ['key: closed', 'key: clsed', /key has no state clsed; write open, closed/],
    ['key: closed', 'kay: closed', /no element kay; did you mean key\?/],
    ['key: closed', 'load: closed', /a resistor takes no state; name a contact, switch or motor/],
    ['voltage: lead-a', 'voltage: lead-c', /no node lead-c; did you mean lead-a\?/],
    ['current: motor', 'current: motr', /no element motr; did you mean motor\?/],
    ['motorCurrentA:', 'motorCurentA:', /no such channel; did you mean motorCurrentA\?/],
    ['motorCurrentA:', 'lead_a_V:', /a column of that name is written already; choose another/],
  ])('tells file and line of %s written as %s', (good, bad, message) => {
    const text = SCENARIO.replace(good, bad);
    expect(() => read(text)).toThrow(message);
    expect(() => read(text)).toThrow(new RegExp(`^scenario\\.yaml:${lineOf(text, bad)}: `));
  });

  it('tells an end that hangs in the air, and which node may have been meant', () => {
    const { elements } = read(SCENARIO.replace('id: load, a: lead-a', 'id: load, a: leed-a'));
    expect(danglingNodes(elements)).toEqual([
      {
        path: ['elements', 2, 'a'],
        what: 'nothing else is joined to node leed-a',
        mend: 'did you mean lead-a?',
      },
    ]);
    expect(danglingNodes(read(SCENARIO).elements)).toEqual([]);
  });
});

describe('a shaft that turns when the scenario begins, on open leads', () => {
  const coasting = (...more: string[]) =>
    runScenario(
      read(
        SCENARIO.replace('schedule:\n  - { atS: 0.04, position: forward, set: { key: closed } }\n', '')
          .replace('resistanceOhm: 33000', 'resistanceOhm: 33000000')
          .replace('coulombNm: 0', `coulombNm: 0.01\n    ${more.join('\n    ')}`)
          .replace('viscousNms: 1.0e-4', 'viscousNms: 0'),
      ),
    ).speedRadS!;

  it('falls by a straight line where friction sticks, and stands', () => {
    // J dw/dt = -T: from 100 rad/s, 500 rad/s2, at rest after 0.2 s.
    const speed = coasting('startSpeedRadS: 100');
    for (const k of [0, 100, 300]) expect(Math.abs(speed[k]! - (100 - k / 4))).toBeLessThan(0.05);
    expect(speed[500]).toBe(0);
  });

  it('falls as the closed form has it where friction rises smoothly, either way', () => {
    // J dw/dt = -T tanh(w / w0): sinh(w / w0) = sinh(w1 / w0) exp(-T t / (J w0)).
    for (const sign of [1, -1]) {
      const speed = coasting(`startSpeedRadS: ${40 * sign}`, 'frictionRiseRadS: 20');
      for (const k of [0, 50, 150, 400]) {
        const w = 20 * Math.asinh(Math.sinh(2) * Math.exp((-0.01 * k) / 2000 / (2e-5 * 20)));
        expect(Math.abs(speed[k]! - sign * w), `${k}`).toBeLessThan(0.02);
      }
    }
  });

  it('is refused of a rotor that is held', () => {
    expect(() => coasting('startSpeedRadS: 100', 'rotorHeld: true')).toThrow(/startSpeedRadS/);
  });
});
