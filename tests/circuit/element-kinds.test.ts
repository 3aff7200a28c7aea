// What each kind of element states of itself: its numbers, its terminals, what it joins. Scenario files, refusals,
// topology and faults all take it from there.

import { describe, expect, it } from 'vitest';
import type * as z from 'zod';
import { ELEMENT_KINDS, kindOf } from '../../host/circuit/elements/index.js';
import { elementKind, elementSchema, ends, nonNegative, positive } from '../../host/circuit/elements/kind.js';
import {
  type CircuitElement,
  type ElementKind,
  runScenario,
  scenarioSchema,
} from '../../host/circuit/index.js';
import { wrongValue } from '../../host/circuit/values.js';
import { checkShape, YamlFile } from '../../host/profile/index.js';

const two = { a: 'p', b: 'q' };
const threshold = { anode: 'p', cathode: 'q', forwardVoltageV: 0.7, onResistanceOhm: 0.02 };
const SAMPLES: { [K in ElementKind]: Extract<CircuitElement, { kind: K }> } = {
  supply: { kind: 'supply', id: 'e', plus: 'p', minus: 'q', voltageV: 12, sourceResistanceOhm: 0.1 },
  resistor: { kind: 'resistor', id: 'e', ...two, resistanceOhm: 1 },
  wire: { kind: 'wire', id: 'e', ...two, lengthM: 1, areaMm2: 1.5, temperatureC: 20 },
  inductor: { kind: 'inductor', id: 'e', ...two, inductanceH: 0.1 },
  capacitor: { kind: 'capacitor', id: 'e', ...two, capacitanceF: 1e-6 },
  diode: { kind: 'diode', id: 'e', ...threshold },
  clamp: { kind: 'clamp', id: 'e', ...threshold, clampVoltageV: 24 },
  contact: {
    kind: 'contact',
    id: 'e',
    ...two,
    closed: true,
    contactResistanceOhm: 0.01,
    closeDelayS: 0,
    openDelayS: 0,
  },
  limit: { kind: 'limit', id: 'e', ...two, motor: 'm', opensAboveRad: 9, contactResistanceOhm: 0.01 },
  switch: {
    kind: 'switch',
    id: 'e',
    position: 'rest',
    poles: [{ id: 'one', common: 'p', throws: { up: 'q', down: 'r' }, contactResistanceOhm: 0.01 }],
    transferS: 0.004,
    delayS: 0,
  },
  relay: {
    kind: 'relay',
    id: 'e',
    terminals: { '30': 'p', '85': 'q', '86': 'r', '87a': 's' },
    coilResistanceOhm: 85,
    coilInductanceH: 0.2,
    closedInductanceRatio: 1.5,
    pullInCurrentA: 0.08,
    dropOutCurrentA: 0.02,
    operateTravelS: 0.003,
    releaseTravelS: 0.002,
    transferS: 0.001,
    makeResistanceOhm: 0.01,
    breakResistanceOhm: 0.01,
    suppression: { kind: 'none' },
  },
  fuse: { kind: 'fuse', id: 'e', ...two, ratedA: 15, resistanceOhm: 0.005, bandPosition: 0.5 },
  protector: {
    kind: 'protector',
    id: 'e',
    ...two,
    type: 'ptc',
    coldResistanceOhm: 0.02,
    tripResistanceOhm: 20,
    holdCurrentA: 5,
    tripTimeAtDoubleS: 4,
    resetS: 60,
  },
  motor: {
    kind: 'motor',
    id: 'e',
    ...two,
    temperatureC: 25,
    resistanceOhm: 0.6,
    inductanceH: 2e-4,
    backEmfVsPerRad: 0.03,
    torqueNmPerA: 0.03,
    inertiaKgM2: 5e-5,
    viscousNms: 1e-5,
    coulombNm: 0.04,
    brushDropV: 0,
    brushKneeA: 0,
  },
};
const EACH = Object.values(SAMPLES).map((element): [string, CircuitElement] => [element.kind, element]);

const joined = (element: CircuitElement): [terminal: string, node: string][] => {
  const seen: [string, string][] = [];
  kindOf(element).joinedAt(element, (node, terminal) => {
    seen.push([terminal, node]);
    return node;
  });
  return seen;
};

describe('an element kind', () => {
  it('is known by the samples of this test, one for each', () => {
    expect(Object.keys(SAMPLES).sort()).toEqual([...ELEMENT_KINDS].sort());
  });

  it.each(EACH)(
    '%s takes right numbers, and refuses each of its numbers that is none, or is missing',
    (_, sample) => {
      expect(wrongValue(sample)).toBeUndefined();
      const { values } = kindOf(sample);
      for (const { name, isOptional } of values) {
        expect(wrongValue({ ...sample, [name]: Number.NaN } as CircuitElement)?.quantity).toBe(name);
        const missing = wrongValue({ ...sample, [name]: undefined } as CircuitElement)?.quantity;
        // A wire of no size at all is refused by what its two sizes are together.
        if (!isOptional || name === 'areaMm2') expect(missing).toBe(name);
        else expect(missing).toBeUndefined();
      }
    },
  );

  it.each(EACH)('%s is joined by terminals that can each be moved, and by them alone', (_, sample) => {
    const kind = kindOf(sample);
    const terminals = joined(sample);
    expect(terminals.length).toBeGreaterThan(1);
    expect(kind.joinedAt(sample, (node) => node)).toEqual(sample);
    for (const [terminal] of terminals) {
      const moved = kind.joinedAt(sample, (node, name) => (name === terminal ? 'elsewhere' : node));
      const changed = joined(moved).filter(([, node], i) => node !== terminals[i]?.[1]);
      expect(changed.map(([, node]) => node)).toEqual(['elsewhere']);
    }
  });

  it.each(EACH)('%s joins no node but those of its terminals', (_, sample) => {
    const nodes = joined(sample).map(([, node]) => node);
    const links = kindOf(sample).links(sample);
    expect(links.length).toBeGreaterThan(0);
    for (const { a, b } of links) {
      expect(nodes).toContain(a);
      expect(nodes).toContain(b);
    }
  });

  it('that is made up takes terminals, numbers and link from its fields', () => {
    const schema = elementSchema('lamp', { ...ends, coldOhm: positive, warmS: nonNegative.optional() });
    const lamp = elementKind(schema, { parts: () => [] });
    const sample: z.infer<typeof schema> = { kind: 'lamp', id: 'l', a: 'p', b: 'q', coldOhm: 1 };
    expect(lamp.values.map(({ name, isOptional }) => [name, isOptional])).toEqual([
      ['coldOhm', false],
      ['warmS', true],
    ]);
    expect(lamp.links(sample)).toEqual([{ a: 'p', b: 'q' }]);
    expect(lamp.joinedAt(sample, (node, terminal) => `${node} at ${terminal}`)).toEqual({
      ...sample,
      a: 'p at a',
      b: 'q at b',
    });
  });
});

describe('a scenario', () => {
  const scenario = (element: object, motor = ''): unknown =>
    checkShape(
      scenarioSchema,
      YamlFile.parse(
        [
          'title: One element',
          'kind: scenario',
          'durationS: 0.02',
          'sampleRateHz: 1000',
          'elements:',
          '  - { kind: supply, id: v, plus: p, minus: ground, voltageV: 12, sourceResistanceOhm: 0.1 }',
          '  - { kind: resistor, id: load, a: q, b: ground, resistanceOhm: 10 }',
          `  - ${JSON.stringify(element)}`,
          ...(motor === '' ? [] : [`  - ${motor}`]),
          'sense: { feedCurrentA: { current: load } }',
        ].join('\n'),
        'one.yaml',
      ),
    );

  it.each([
    ['a protector', SAMPLES.protector, 12 / 10.12],
    ['a blown fuse', { ...SAMPLES.fuse, blown: true }, 0],
    ['a fuse', SAMPLES.fuse, 12 / 10.105],
  ])('takes %s, as every element of a unit', (_, element, currentA) => {
    const { channels } = runScenario(scenarioSchema.parse(scenario(element))).capture;
    expect(channels.feedCurrentA?.at(-1)).toBeCloseTo(currentA, 3);
  });

  it.each([
    [
      { ...SAMPLES.contact, bounceS: [0.001] },
      /elements\[2\]\.bounceS: bounceS \[0\.001\]; give an even count/,
    ],
    [{ ...SAMPLES.wire, awg: 18 }, /elements\[2\]\.areaMm2: areaMm2 1\.5; give its size once/],
    [{ ...SAMPLES.motor, brushDropV: 1 }, /elements\[2\]\.brushKneeA: brushKneeA 0; give a number above 0/],
    [
      { ...SAMPLES.relay, dropOutCurrentA: 0.1 },
      /elements\[2\]\.dropOutCurrentA: .* less than pullInCurrentA/,
    ],
  ])('is refused with the place where an element has what it cannot have: %j', (element, message) => {
    expect(() => scenario(element)).toThrow(message);
  });
});
