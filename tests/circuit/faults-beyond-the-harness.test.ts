// Faults outside the wires of a style: intermittent joint or brush, the rig's own ground, a fuse that is too small, a
// motor whose case is its ground. Derived from circuit equations with the set-up of symptom-bench.ts.

import { describe, expect, it } from 'vitest';
import { faultsOf, meltingTimeS, type Netlist, simulate } from '../../host/circuit/index.js';
import { leads, readStyle, symptom, THROW_S, told, trialRun, workedInput } from './symptom-bench.js';

const PAIR = readStyle('relay-pair-ground-thrown');
const RATE_HZ = 10_000;
/** The joint or brush lifts for 8 ms in the middle of the throw. */
const LIFT_S = 1.5;
const LIFT_END_S = LIFT_S + 0.008;

describe('a joint against a brush that lifts for 8 ms while the motor runs at 4 A and 9.6 V of its own', () => {
  const lifted = (which: 'joint' | 'motor.brush') => {
    const { values } = trialRun(PAIR, {
      ...(which === 'joint'
        ? {
            edits: [{ do: 'land', at: { element: 'lead-a', terminal: 'b' }, node: 'joint' }],
            add: [
              {
                kind: 'contact',
                id: 'joint',
                a: 'joint',
                b: 'rig.lead-a',
                closed: true,
                contactResistanceOhm: 0.001,
                closeDelayS: 0,
                openDelayS: 0,
              },
            ],
          }
        : { change: { brushContact: { extraResistanceOhm: 0 } } }),
      also: [
        { atS: LIFT_S, settings: [{ element: which, state: false }] },
        { atS: LIFT_END_S, settings: [{ element: which, state: true }] },
      ],
    });
    const at = (timeS: number) => {
      const k = Math.round(timeS * RATE_HZ);
      return {
        motorV: values.leadAVoltageV![k]! - values.leadBVoltageV![k]!,
        motorA: values.motorCurrentA![k]!,
      };
    };
    return { before: at(LIFT_S - 0.001), during: at(LIFT_END_S - 0.001), after: at(LIFT_END_S + 0.2) };
  };

  it('joint in lead A: voltage and current drop together, the voltage to what the running motor makes', () => {
    const { before, during, after } = lifted('joint');
    expect(before.motorV).toBeCloseTo(12.6, 1);
    expect(before.motorA).toBeCloseTo(4, 1);
    expect(Math.abs(during.motorA)).toBeLessThan(0.01);
    // 9.6 V at first; friction of 4 A in a rotor of 0.2 s slows it by 4 x 0.75 V / 0.2 s = 15 V a second.
    expect(during.motorV).toBeCloseTo(9.6 - 15 * 0.007, 1);
    expect(after.motorA).toBeGreaterThan(3.9);
  });

  it('brush: the current drops alone, the voltage even rises by what the wiring no longer loses', () => {
    const { before, during, after } = lifted('motor.brush');
    expect(before.motorA).toBeCloseTo(4, 1);
    // Dust and film across the brush carry a few milliamps.
    expect(Math.abs(during.motorA)).toBeLessThan(0.01);
    expect(during.motorV).toBeCloseTo(13, 1);
    expect(during.motorV).toBeGreaterThan(before.motorV);
    expect(after.motorA).toBeGreaterThan(3.9);
  });
});

describe("0.1 Ohm in the rig's own ground, between its terminal and the point that all voltages are read against", () => {
  const RIG_GROUND_OHM = 0.1;
  const offset = { do: 'land' as const, at: { element: 'ground', terminal: 'b' }, node: 'terminal' };
  const rigGround = {
    kind: 'resistor' as const,
    id: 'rig-ground',
    a: 'terminal',
    b: 'ground',
    resistanceOhm: RIG_GROUND_OHM,
  };
  const dummy = { kind: 'resistor' as const, id: 'dummy', a: 'rig.feed', b: 'terminal', resistanceOhm: 4 };
  const seen = (add: readonly (typeof rigGround)[], position: 'forward' | 'reverse' = 'forward') =>
    symptom(PAIR, { edits: [offset], add: [rigGround, ...add], position });

  it('lifts both leads at rest by I x Rg while a dummy load draws, and by nothing without one', () => {
    const { rest } = seen([dummy]);
    const offsetV = rest.feedA * RIG_GROUND_OHM;
    expect(offsetV).toBeCloseTo((13 / (4 + 0.04 + 0.01 + 0.1)) * 0.1, 3);
    expect(rest.leadAV).toBeCloseTo(offsetV, 3);
    expect(rest.leadBV).toBeCloseTo(offsetV, 3);
    expect(Math.abs(seen([]).rest.leadAV)).toBeLessThan(1e-3);
  });

  it('lifts the low lead of either throw by I x Rg; the driven lead is not lifted', () => {
    // A table that has both leads at +x under way cannot be had: supply and driven lead are read against the same point.
    for (const position of ['forward', 'reverse'] as const) {
      const { thrown } = seen([], position);
      const [driven, low] =
        position === 'forward' ? [thrown.leadAV, thrown.leadBV] : [thrown.leadBV, thrown.leadAV];
      expect(low).toBeCloseTo(0.1 + thrown.feedA * RIG_GROUND_OHM, 2);
      expect(driven).toBeCloseTo(12.7, 1);
    }
  });

  it("is told from a bad ground wire of the unit's by the dummy load, which lifts nothing there", () => {
    const series = {
      do: 'series' as const,
      at: { element: 'ground', terminal: 'a' },
      resistanceOhm: RIG_GROUND_OHM,
    };
    const { rest, thrown } = symptom(PAIR, { edits: [series], add: [{ ...dummy, b: 'ground' }] });
    expect(Math.abs(rest.leadAV)).toBeLessThan(1e-3);
    expect(thrown.leadBV).toBeCloseTo(0.1 + 4 * RIG_GROUND_OHM, 2);
  });
});

describe('what cuts the current after seconds', () => {
  const fuse = (ratedA: number, bandPosition: number) => ({
    edits: [{ do: 'land' as const, at: { element: 'feed', terminal: 'a' }, node: 'fused' }],
    add: [
      {
        kind: 'fuse' as const,
        id: 'fuse',
        a: 'rig.feed',
        b: 'fused',
        ratedA,
        resistanceOhm: 0.01,
        bandPosition,
      },
    ],
  });
  const blownAtS = (run: ReturnType<typeof trialRun>) =>
    run.events.find(({ element, what }) => element === 'fuse' && what === 'blown')?.timeS;

  it('a fuse too small for the running current: supply present, feed dead, both leads L', () => {
    // 4 A through 2 A is twice the rating: 0.15 to 5 s (ISO 8820-3, type C and F). A light rotor keeps the inrush short.
    const { motor } = workedInput(PAIR);
    const trial = { ...fuse(2, 0.7), change: { motor: { ...motor, inertiaKgM2: motor.inertiaKgM2 / 20 } } };
    const afterS = blownAtS(trialRun(PAIR, trial))! - THROW_S;
    expect(afterS).toBeGreaterThan(1);
    expect(afterS).toBeLessThan(meltingTimeS(2, 0.7));
    const { thrown } = symptom(PAIR, trial);
    expect(told(thrown)).toBe('dead L/L');
    expect(thrown.supplyV).toBeGreaterThan(12.9);
    expect(Math.abs(thrown.feedA)).toBeLessThan(0.01);
    // Coils hang on the rig's coil feed, ahead of this fuse.
    expect(thrown.coilA).toBeGreaterThan(0.12);
  });

  it('with a heavy rotor it goes in the inrush already, not after seconds', () => {
    const afterS = blownAtS(trialRun(PAIR, fuse(2, 0.7)))! - THROW_S;
    expect(afterS).toBeGreaterThan(0.02);
    expect(afterS).toBeLessThan(0.15);
  });

  it.each([0, 0.5])(
    'with the rotor held the fuse goes after its melting time, at %s of the band',
    (bandPosition) => {
      const heldA = 13 / (0.85 + 0.01);
      const atS = blownAtS(trialRun(PAIR, { ...fuse(7.5, bandPosition), change: { rotorHeld: true } }))!;
      // Relay operates in 6 ms; the current's own rise is 1.2 ms.
      const expectedS = meltingTimeS(heldA / 7.5, bandPosition) + 0.006;
      expect(Math.abs(atS - THROW_S - expectedS)).toBeLessThan(0.03 * expectedS + 0.004);
    },
  );

  it('the right fuse stays whole', () => {
    const run = trialRun(PAIR, fuse(15, 0));
    expect(blownAtS(run)).toBeUndefined();
    expect(run.values.motorCurrentA![2.8 * RATE_HZ]!).toBeCloseTo(4, 1);
  });

  it.each(['ptc', 'bimetal'] as const)('a protector inside the motor (%s) leaves the leads H/L', (type) => {
    const { thrown, events } = symptom(PAIR, {
      edits: [{ do: 'land', at: { element: 'motor', terminal: 'b' }, node: 'inside' }],
      add: [
        {
          kind: 'protector',
          id: 'protector',
          a: 'inside',
          b: 'rig.motor-b',
          type,
          coldResistanceOhm: 0.02,
          tripResistanceOhm: type === 'ptc' ? 60 : 1e6,
          holdCurrentA: 5,
          tripTimeAtDoubleS: 1.5,
          resetS: 30,
        },
      ],
      change: { rotorHeld: true },
    });
    expect(events.some(({ element, what }) => element === 'protector' && what === 'tripped')).toBe(true);
    expect(leads(thrown)).toBe('H/L');
    // A hot PTC still leaks 13 V / 61 Ohm; a bimetal is open.
    if (type === 'ptc') expect(thrown.motorA).toBeCloseTo(13 / 60.9, 2);
    else expect(Math.abs(thrown.motorA)).toBeLessThan(0.001);
  });

  it('is a fault of a style that has a fuse', () => {
    const elements = PAIR.elements.flatMap((element) =>
      element.id === 'feed' && element.kind === 'wire'
        ? [
            {
              id: 'main-fuse',
              kind: 'fuse' as const,
              a: 'rig.feed',
              b: 'fused',
              ratedA: 9,
              resistanceOhm: 0.005,
            },
            { ...element, a: 'fused' },
          ]
        : [element],
    );
    const style = { ...PAIR, elements };
    expect(faultsOf(style).map(({ id }) => id)).toContain('main-fuse-too-small');
    const held = workedInput(style);
    // 15.2 A through 3 A: five times, gone within 0.5 s whatever the sample (row of 3.5 times).
    const small = symptom(style, { faults: ['main-fuse-too-small'], change: { ...held, rotorHeld: true } });
    expect(told(small.thrown)).toBe('dead L/L');
    expect(told(symptom(style, {}).thrown)).toBe('+');
  });
});

/**
 * Split-field three-wire motor: two field windings wound opposite ways, each from its own lead to the armature, which
 * returns through the case. The armature here is a permanent-magnet one: right for lead states, which depend on where
 * current can flow, not for torque and speed of a series motor, and blind to which field is driven.
 */
describe('split-field motor whose case is its ground', () => {
  const KT = 0.03;
  const driven = (lead: 'a' | 'b', caseOhm: number) => {
    const field = (id: 'a' | 'b') => [
      {
        kind: 'contact' as const,
        id: `switch-${id}`,
        a: 'supply',
        b: `lead-${id}`,
        closed: false,
        contactResistanceOhm: 0.035,
        closeDelayS: 0,
        openDelayS: 0,
      },
      {
        kind: 'resistor' as const,
        id: `load-${id}`,
        a: `lead-${id}`,
        b: 'ground',
        resistanceOhm: 33_000,
      },
      {
        kind: 'resistor' as const,
        id: `field-${id}`,
        a: `lead-${id}`,
        b: `inner-${id}`,
        resistanceOhm: 0.3,
      },
      {
        kind: 'inductor' as const,
        id: `winding-${id}`,
        a: `inner-${id}`,
        b: 'armature',
        inductanceH: 3e-3,
      },
    ];
    const netlist: Netlist = {
      elements: [
        {
          kind: 'supply',
          id: 'source',
          plus: 'supply',
          minus: 'ground',
          voltageV: 13,
          sourceResistanceOhm: 0.04,
        },
        ...field('a'),
        ...field('b'),
        {
          kind: 'motor',
          id: 'motor',
          a: 'armature',
          b: 'case',
          resistanceOhm: 0.45,
          inductanceH: 1e-3,
          backEmfVsPerRad: KT,
          torqueNmPerA: KT,
          inertiaKgM2: 2e-4,
          viscousNms: 0,
          coulombNm: 4 * KT,
          brushDropV: 0,
          brushKneeA: 0.2,
          temperatureC: 25,
        },
        { kind: 'resistor', id: 'case-clip', a: 'case', b: 'ground', resistanceOhm: caseOhm },
      ],
    };
    const setting = (state: boolean) => [{ element: `switch-${lead}`, state }];
    const { values } = simulate({
      netlist,
      schedule: [
        { atS: 0.1, settings: setting(true) },
        { atS: 1.5, settings: setting(false) },
      ],
      untilS: 1.6,
      sampleRateHz: RATE_HZ,
      probes: {
        driven: { kind: 'voltage', plus: `lead-${lead}` },
        other: { kind: 'voltage', plus: `lead-${lead === 'a' ? 'b' : 'a'}` },
        motorA: { kind: 'current', element: 'motor' },
      },
    });
    const at = (timeS: number) => {
      const k = Math.round(timeS * RATE_HZ);
      return { driven: values.driven![k]!, other: values.other![k]!, motorA: values.motorA![k]! };
    };
    return { rest: at(0.09), thrown: at(1.49), released: at(1.52) };
  };

  it.each(['a', 'b'] as const)('lead %s driven: that lead H, the other at the armature, M', (lead) => {
    const { rest, thrown, released } = driven(lead, 0.02);
    for (const voltageV of [rest.driven, rest.other]) expect(voltageV).toBeCloseTo(0, 5);
    expect(thrown.driven).toBeCloseTo(13 - 4 * 0.075, 1);
    expect(thrown.other).toBeCloseTo(13 - 4 * (0.075 + 0.3), 1);
    expect(thrown.motorA).toBeCloseTo(4, 1);
    // Released, both leads fall with the armature and keep its sign.
    expect(released.other).toBeCloseTo(released.driven, 3);
    expect(released.driven).toBeGreaterThan(8);
    expect(released.driven).toBeLessThan(10);
  });

  it.each(['a', 'b'] as const)('lead %s driven, case not grounded: both leads H and no current', (lead) => {
    // A table of lead states has M or H for the other lead: with nothing but the rig's load on it, it is H.
    const { thrown } = driven(lead, 1e9);
    expect(thrown.driven).toBeGreaterThan(12.99);
    expect(thrown.other).toBeGreaterThan(12.99);
    expect(Math.abs(thrown.motorA)).toBeLessThan(1e-6);
  });
});
