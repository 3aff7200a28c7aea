// Energy: supplied = dissipated + stored on random circuits, by fast-check with a printed seed. No outside source is
// needed: it is conservation, with powers taken from the elements and the stored part from the state.

import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import {
  type CircuitElement,
  createTransient,
  type ScheduleEntry,
  simulate,
} from '../../host/circuit/index.js';

const SEED = 20_261_125;
const NODES = ['n1', 'n2', 'n3', 'n4'];
const UNTIL_S = 0.3;

const spread = (low: number, high: number) =>
  fc.double({ min: Math.log(low), max: Math.log(high), noNaN: true }).map(Math.exp);
const pair = fc
  .uniqueArray(fc.constantFrom(...NODES, 'ground'), { minLength: 2, maxLength: 2 })
  .map(([a, b]) => ({ a: a!, b: b! }));

const resistor = fc
  .record({ ends: pair, ohm: spread(0.05, 500) })
  .map(({ ends, ohm }) => (id: string): CircuitElement[] => [
    { kind: 'resistor', id, ...ends, resistanceOhm: ohm },
  ]);
/** Whatever carries inductive current gets a resistor beside it, so that no contact cuts it. */
const beside = (id: string, ends: { a: string; b: string }): CircuitElement => {
  return { kind: 'resistor', id: `${id}-beside`, ...ends, resistanceOhm: 2000 };
};
const inductor = fc
  .record({ ends: pair, inductanceH: spread(1e-4, 0.1), startA: fc.double({ min: -3, max: 3, noNaN: true }) })
  .map(({ ends, inductanceH, startA }) => (id: string): CircuitElement[] => [
    { kind: 'inductor', id, ...ends, inductanceH, initialCurrentA: startA },
    beside(id, ends),
  ]);
const capacitor = fc
  .record({
    ends: pair,
    capacitanceF: spread(1e-8, 1e-2),
    startV: fc.double({ min: -10, max: 10, noNaN: true }),
  })
  .map(({ ends, capacitanceF, startV }) => (id: string): CircuitElement[] => [
    { kind: 'capacitor', id, ...ends, capacitanceF, initialVoltageV: startV },
  ]);
const diode = fc
  .record({ ends: pair, ohm: spread(0.01, 0.5) })
  .map(({ ends, ohm }) => (id: string): CircuitElement[] => [
    { kind: 'diode', id, anode: ends.a, cathode: ends.b, forwardVoltageV: 0.7, onResistanceOhm: ohm },
  ]);
const clamp = fc
  .record({ ends: pair, volts: spread(3, 30) })
  .map(({ ends, volts }) => (id: string): CircuitElement[] => [
    {
      kind: 'clamp',
      id,
      anode: ends.a,
      cathode: ends.b,
      forwardVoltageV: 0.8,
      clampVoltageV: volts,
      onResistanceOhm: 0.1,
    },
  ]);
const contact = fc
  .record({ ends: pair, closed: fc.boolean() })
  .map(({ ends, closed }) => (id: string): CircuitElement[] => [
    {
      kind: 'contact',
      id,
      ...ends,
      closed,
      contactResistanceOhm: 0.005,
      closeDelayS: 0,
      openDelayS: 0,
      bounceS: [2e-4, 4e-4],
    },
  ]);
const motor = fc
  .record({
    ends: pair,
    ke: spread(0.005, 0.05),
    ratio: fc.double({ min: 0.8, max: 1, noNaN: true }),
    inertia: spread(2e-6, 2e-4),
    coulomb: fc.constantFrom(0, 0.01, 0.05),
    drop: fc.constantFrom(0, 1),
    windage: fc.constantFrom(0, 1e-7),
    ripple: fc.constantFrom(0, 0.1),
    stop: fc.boolean(),
    capacitanceF: fc.option(spread(1e-8, 1e-5), { nil: undefined }),
    segment: fc.constantFrom(undefined, 'open' as const, 'shorted' as const),
  })
  .map((m) => (id: string): CircuitElement[] => [
    {
      kind: 'motor',
      id,
      ...m.ends,
      resistanceOhm: 0.6,
      inductanceH: 2e-4,
      backEmfVsPerRad: m.ke,
      torqueNmPerA: m.ke * m.ratio,
      inertiaKgM2: m.inertia,
      viscousNms: 1e-5,
      coulombNm: m.coulomb,
      windageNms2: m.windage,
      brushDropV: m.drop,
      brushKneeA: 0.3,
      temperatureC: 40,
      ...(m.ripple > 0 ? { ripple: { segments: 10, amplitude: m.ripple } } : {}),
      ...(m.stop ? { endStopsRad: { minimum: -5, maximum: 20 } } : {}),
      ...(m.capacitanceF === undefined ? {} : { suppressionCapacitorF: m.capacitanceF }),
      ...(m.segment === undefined
        ? {}
        : {
            segmentFault: {
              kind: m.segment,
              resistanceFactor: m.segment === 'open' ? 3 : 0.6,
              widthTurns: 0.1,
            },
          }),
    },
    beside(id, m.ends),
  ]);
const protector = fc
  .record({ ends: pair, type: fc.constantFrom('ptc' as const, 'bimetal' as const), holdA: spread(0.3, 10) })
  .map(({ ends, type, holdA }) => (id: string): CircuitElement[] => [
    {
      kind: 'protector',
      id,
      ...ends,
      type,
      coldResistanceOhm: 0.02,
      tripResistanceOhm: type === 'ptc' ? 40 : 1e6,
      holdCurrentA: holdA,
      tripTimeAtDoubleS: 0.05,
      resetS: 0.04,
    },
  ]);
const relay = fc
  .record({
    ends: pair,
    common: fc.constantFrom(...NODES),
    kind: fc.constantFrom('none', 'resistor', 'diode'),
  })
  .map(({ ends, common, kind }) => (id: string): CircuitElement[] => [
    {
      kind: 'relay',
      id,
      terminals: { '30': common, '85': ends.b, '86': ends.a, '87': 'n1', '87a': 'ground' },
      coilResistanceOhm: 85,
      coilInductanceH: 0.3,
      closedInductanceRatio: 1.4,
      pullInCurrentA: 0.06,
      dropOutCurrentA: 0.02,
      operateTravelS: 3e-3,
      releaseTravelS: 2e-3,
      transferS: 8e-4,
      makeResistanceOhm: 0.005,
      breakResistanceOhm: 0.006,
      suppression:
        kind === 'resistor'
          ? { kind, resistanceOhm: 680 }
          : kind === 'diode'
            ? { kind, anodeAt: '85', forwardVoltageV: 0.7 }
            : { kind: 'none' },
    },
  ]);

const circuit = fc.record({
  supplyOhm: spread(0.02, 1),
  limitA: fc.option(spread(1, 20), { nil: undefined }),
  makers: fc.array(fc.oneof(resistor, inductor, capacitor, diode, clamp, contact, motor, relay, protector), {
    minLength: 3,
    maxLength: 8,
  }),
  throws: fc.array(fc.tuple(fc.double({ min: 0.001, max: UNTIL_S, noNaN: true }), fc.nat(9), fc.boolean()), {
    maxLength: 6,
  }),
});
type Drawn = typeof circuit extends fc.Arbitrary<infer T> ? T : never;

function build({ supplyOhm, limitA, makers, throws }: Drawn) {
  const elements: CircuitElement[] = [
    {
      kind: 'supply',
      id: 'v',
      plus: 'n1',
      minus: 'ground',
      voltageV: 12,
      sourceResistanceOhm: supplyOhm,
      ...(limitA === undefined ? {} : { currentLimitA: limitA }),
    },
    ...NODES.map(
      (node): CircuitElement => ({
        kind: 'resistor',
        id: `down-${node}`,
        a: node,
        b: 'ground',
        resistanceOhm: 5000,
      }),
    ),
    ...makers.flatMap((make, i) => make(`e${i}`)),
  ];
  const contacts = elements.filter(({ kind }) => kind === 'contact');
  const schedule = throws.flatMap(([atS, which, state]): ScheduleEntry[] => {
    const chosen = contacts[which % Math.max(1, contacts.length)];
    return chosen ? [{ atS, settings: [{ element: chosen.id, state }] }] : [];
  });
  return { netlist: { elements }, schedule };
}

describe(`energy on random circuits, seed ${SEED}`, () => {
  it('closes to 0.1 % of what was turned over', () => {
    let solved = 0;
    fc.assert(
      fc.property(circuit, (drawn) => {
        const { netlist, schedule } = build(drawn);
        const run = simulate({ netlist, schedule, untilS: UNTIL_S, sampleRateHz: 100, probes: {} });
        const { suppliedJ, dissipatedJ, storedJ } = run.energy;
        // Circuits live off their initial currents and charges too, so the larger of the flows is the measure.
        const turnover = Math.max(Math.abs(suppliedJ), Math.abs(dissipatedJ), Math.abs(storedJ));
        expect(
          Math.abs(suppliedJ - dissipatedJ - storedJ) / turnover,
          JSON.stringify({ netlist, schedule }),
        ).toBeLessThan(1e-3);
        solved++;
      }),
      { seed: SEED, numRuns: 300 },
    );
    expect(solved).toBe(300);
  });

  it('reads the same whether the run is taken whole or in 55 us bites', () => {
    fc.assert(
      fc.property(circuit, (drawn) => {
        const { netlist, schedule } = build(drawn);
        const whole = simulate({
          netlist,
          schedule,
          untilS: 0.05,
          sampleRateHz: 18_000,
          probes: { v: { kind: 'voltage', plus: 'n2' } },
        });
        const bitten = createTransient(netlist);
        const read = bitten.reader({ kind: 'voltage', plus: 'n2' });
        const due = [...schedule].sort((a, b) => a.atS - b.atS);
        const peak = whole.values.v!.reduce((most, v) => Math.max(most, Math.abs(v)), 1e-6);
        let squares = 0;
        whole.timeS.forEach((t, k) => {
          // Controls arrive unannounced, one bite before they fall due, so that held steps have to be cut.
          while (due.length > 0 && due[0]!.atS <= t) {
            const { atS, settings } = due.shift()!;
            bitten.control(atS, settings);
          }
          bitten.advance(t);
          squares += (read() - whole.values.v![k]!) ** 2;
        });
        expect(Math.sqrt(squares / whole.timeS.length) / peak).toBeLessThan(1e-3);
      }),
      { seed: SEED, numRuns: 60 },
    );
  });
});
