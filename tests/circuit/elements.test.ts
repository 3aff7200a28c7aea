// Each element but the motor against its outside source: conductor tables, fuse gates, relay coil closed forms, protectors.

import { describe, expect, it } from 'vitest';
import {
  type CircuitElement,
  meltingTimeS,
  type RelayElement,
  simulate,
  wireResistanceOhm,
} from '../../host/circuit/index.js';
import { awgAreaMm2 } from '../../host/tell/index.js';
import { supply } from './supply.js';

describe('wire', () => {
  // Resistance of solid copper per 1000 ft at 20 C as printed in HyperPhysics (Georgia State Univ.), wire gauge table.
  it.for([
    [10, 0.9989],
    [12, 1.588],
    [14, 2.525],
    [16, 4.016],
    [18, 6.385],
    [20, 10.15],
    [22, 16.14],
  ])('AWG %i has %f Ohm per 1000 ft', ([awg, ohmPer1000Ft]) => {
    const ohm = wireResistanceOhm({ lengthM: 304.8, awg: awg!, temperatureC: 20 });
    expect(wireResistanceOhm({ lengthM: 304.8, areaMm2: awgAreaMm2(awg!), temperatureC: 20 })).toBe(ohm);
    expect(Math.abs(ohm / ohmPer1000Ft! - 1)).toBeLessThan(1e-3);
  });

  it('stays below the largest class 5 resistance of IEC 60228 for its section', () => {
    // IEC 60228:2004 Table A.3, plain copper class 5, Ohm/km at 20 C.
    [
      [0.5, 39],
      [0.75, 26],
      [1, 19.5],
      [1.5, 13.3],
      [2.5, 7.98],
      [4, 4.95],
      [6, 3.3],
    ].forEach(([areaMm2, most]) => {
      const ohm = wireResistanceOhm({ lengthM: 1000, areaMm2: areaMm2!, temperatureC: 20 });
      expect(ohm).toBeLessThan(most!);
      expect(ohm).toBeGreaterThan(0.85 * most!);
    });
  });

  it('follows 0.00393 per kelvin from 20 C (IEC 60028)', () => {
    const at = (temperatureC: number) => wireResistanceOhm({ lengthM: 1, areaMm2: 1, temperatureC });
    expect(at(20)).toBeCloseTo(0.01724137931, 10);
    expect(at(85) / at(20)).toBeCloseTo(1.25545, 6);
  });
});

describe('fuse', () => {
  // Opening-time gates, per cent of rating: shortest, longest s. Littelfuse 287 sheet (after ISO 8820-3), rows seen.
  it.for([
    [1.35, 0.75, 600],
    [1.6, 0.25, 50],
    [2, 0.15, 5],
  ])('opens at %f times its rating between %f and %f s', ([multiple, shortest, longest]) => {
    expect(meltingTimeS(multiple!, 0)).toBeCloseTo(shortest!, 9);
    expect(meltingTimeS(multiple!, 1)).toBeCloseTo(longest!, 9);
    const element = (bandPosition: number): CircuitElement => {
      return { kind: 'fuse', id: 'f', a: 'p', b: 'q', ratedA: 10, resistanceOhm: 0.008, bandPosition };
    };
    const load: CircuitElement = {
      kind: 'resistor',
      id: 'r',
      a: 'q',
      b: 'ground',
      resistanceOhm: 12 / (10 * multiple!) - 0.009,
    };
    for (const bandPosition of [0, 0.5]) {
      const due = shortest! ** (1 - bandPosition) * longest! ** bandPosition;
      const run = simulate({
        netlist: { elements: [supply(12), element(bandPosition), load] },
        schedule: [],
        untilS: due * 1.1,
        sampleRateHz: 10,
        probes: {},
      });
      const blown = run.events.find(({ what }) => what === 'blown');
      expect(Math.abs(blown!.timeS / due - 1)).toBeLessThan(1e-3);
    }
  });

  it('carries its rating', () => {
    expect(meltingTimeS(1, 0)).toBe(Number.POSITIVE_INFINITY);
  });
});

describe('relay', () => {
  const relay = (changes: Partial<RelayElement>): RelayElement => ({
    kind: 'relay',
    id: 'k',
    terminals: { '30': 'p', '85': 'low', '86': 'p', '87': 'make', '87a': 'rest' },
    coilResistanceOhm: 90,
    coilInductanceH: 0.3,
    closedInductanceRatio: 1,
    pullInCurrentA: 0.07,
    dropOutCurrentA: 0.015,
    operateTravelS: 0.003,
    releaseTravelS: 0.001,
    transferS: 0.0008,
    makeResistanceOhm: 0.005,
    breakResistanceOhm: 0.005,
    suppression: { kind: 'none' },
    ...changes,
  });
  function throwOnce(element: RelayElement, voltageV = 12, sourceResistanceOhm = 1e-3) {
    const elements: CircuitElement[] = [
      supply(voltageV, sourceResistanceOhm),
      element,
      {
        kind: 'contact',
        id: 's',
        a: 'low',
        b: 'ground',
        closed: false,
        contactResistanceOhm: 0.001,
        closeDelayS: 0,
        openDelayS: 0,
      },
      { kind: 'resistor', id: 'rm', a: 'make', b: 'ground', resistanceOhm: 100 },
      { kind: 'resistor', id: 'rr', a: 'rest', b: 'ground', resistanceOhm: 100 },
    ];
    const schedule = [
      { atS: 0.01, settings: [{ element: 's', state: true }] },
      { atS: 0.1, settings: [{ element: 's', state: false }] },
    ];
    const probes = {
      coil: { kind: 'coil-current', element: 'k' },
      low: { kind: 'voltage', plus: 'low' },
      make: { kind: 'voltage', plus: 'make' },
      rest: { kind: 'voltage', plus: 'rest' },
    } as const;
    const run = simulate({ netlist: { elements }, schedule, untilS: 0.2, sampleRateHz: 100_000, probes });
    const when = (what: string) =>
      run.events.find((event) => event.element === 'k' && event.what === what)?.timeS ?? Number.NaN;
    return { run, when };
  }

  it('pulls in at -L/R ln(1 - I R/V) and drops out by decay through its suppression resistor', () => {
    const { when } = throwOnce(relay({ suppression: { kind: 'resistor', resistanceOhm: 680 } }));
    // Core loss of a hundred coil resistances lies across L, hence the parallel of R and it in the time constant.
    const rise = (90 * 9000) / 9090 / 0.3;
    expect(when('pulled-in') - 0.01).toBeCloseTo(-Math.log(1 - (0.07 * 90) / 12) / rise, 5);
    const fall = (770 * 9000) / 9770 / 0.3;
    expect(when('dropped-out') - 0.1).toBeCloseTo(Math.log(12 / 90 / 0.015) / fall, 5);
  });

  it('breaks before it makes, both ways', () => {
    const { run, when } = throwOnce(relay({}));
    expect(when('break-opened') - when('pulled-in')).toBeCloseTo(0.003, 8);
    expect(when('make-closed') - when('break-opened')).toBeCloseTo(0.0008, 8);
    expect(when('make-opened') - when('dropped-out')).toBeCloseTo(0.001, 8);
    expect(when('break-closed') - when('make-opened')).toBeCloseTo(0.0008, 8);
    run.timeS.forEach((_, k) => {
      expect(run.values.make![k]! > 1 && run.values.rest![k]! > 1).toBe(false);
    });
  });

  it('kicks to coil current times suppression resistance: TE note 13C3311 prints 167 V for 13.5 V, 55 Ohm and 680 Ohm', () => {
    const { run } = throwOnce(
      relay({ coilResistanceOhm: 55, suppression: { kind: 'resistor', resistanceOhm: 680 } }),
      13.5,
    );
    const kick = Math.max(...run.values.low!) - 13.5;
    // The loss in the core takes its part of the current, 680 in 680 + 5500.
    expect(kick).toBeGreaterThan(0.85 * 167);
    expect(kick).toBeLessThan(167);
  });

  it('releases about three times later or more with a diode than without (Finder 99 series text: about three times)', () => {
    const release = (suppression: RelayElement['suppression']) =>
      throwOnce(relay({ suppression })).when('break-closed') - 0.1;
    const bare = release({ kind: 'none' });
    const diode = release({ kind: 'diode', anodeAt: '85', forwardVoltageV: 0.7 });
    expect(diode / bare).toBeGreaterThan(3);
    expect(diode / bare).toBeLessThan(10);
  });

  it('shorts its feed through a diode put in the wrong way round, and does not pull in', () => {
    const reversed = relay({ suppression: { kind: 'diode', anodeAt: '86', forwardVoltageV: 0.7 } });
    const { run, when } = throwOnce(reversed, 12, 0.2);
    expect(Math.max(...run.values.coil!)).toBeGreaterThan(20);
    expect(when('pulled-in')).toBeNaN();
  });

  // Ohm's law: 12 V · 85 / (85 + 470); a silicon diode holds 0.7 V (the model's own figure). What faults of coils tell to do.
  it.each([
    ['nothing across it', { kind: 'none' }, 1.84, 1.84],
    ['a diode, anode on 85', { kind: 'diode', anodeAt: '85', forwardVoltageV: 0.7 }, 1.84, 0.7],
  ] as const)(
    'of 85 Ohm on 12 V through 470 Ohm, with %s, one way and the other',
    (_, suppression, plusOn86V, plusOn85V) => {
      const across = (plus: '85' | '86') => {
        const terminals = {
          '30': 'p',
          '87': 'make',
          '87a': 'rest',
          '85': 'ground',
          '86': 'ground',
          [plus]: 'p',
        };
        const run = simulate({
          netlist: { elements: [supply(12, 470), relay({ coilResistanceOhm: 85, suppression, terminals })] },
          schedule: [],
          untilS: 0.2,
          sampleRateHz: 1000,
          probes: { coil: { kind: 'voltage', plus: 'p' } },
        });
        return run.values.coil!.at(-1)!;
      };
      expect(across('86')).toBeCloseTo(plusOn86V, 1);
      expect(across('85')).toBeCloseTo(plusOn85V, 1);
    },
  );

  it('shows the armature as a dip in the coil current, and none when it is stuck', () => {
    const dip = (element: RelayElement) => {
      const { run } = throwOnce(element);
      const coil = run.values.coil!.subarray(1000, 9000);
      let largest = 0;
      let highest = 0;
      for (const current of coil) {
        highest = Math.max(highest, current);
        largest = Math.max(largest, highest - current);
      }
      return largest / (12 / 90);
    };
    expect(dip(relay({ closedInductanceRatio: 1.4 }))).toBeGreaterThan(0.01);
    expect(dip(relay({ closedInductanceRatio: 1.4, stuck: 'break' }))).toBeLessThan(1e-4);
  });

  it.for([
    ['make', true, false],
    ['break', false, true],
  ] as const)('stuck on %s stays there', ([stuck, isMade, isAtRest]) => {
    const { run } = throwOnce(relay({ stuck }));
    for (const k of [500, 9000, 19_000]) {
      expect(run.values.make![k]! > 11).toBe(isMade);
      expect(run.values.rest![k]! > 11).toBe(isAtRest);
    }
  });

  it('stays at rest below its pull-in current', () => {
    const { when } = throwOnce(relay({}), 6);
    expect(when('pulled-in')).toBeNaN();
  });
});

describe('protector', () => {
  const protect = (type: 'ptc' | 'bimetal'): CircuitElement => ({
    kind: 'protector',
    id: 'pr',
    a: 'p',
    b: 'q',
    type,
    coldResistanceOhm: 0.02,
    tripResistanceOhm: type === 'ptc' ? 40 : 1e7,
    holdCurrentA: 8,
    tripTimeAtDoubleS: 10,
    resetS: 20,
  });
  const run = (type: 'ptc' | 'bimetal', untilS: number) =>
    simulate({
      netlist: {
        elements: [
          supply(12),
          protect(type),
          { kind: 'resistor', id: 'r', a: 'q', b: 'ground', resistanceOhm: 12 / 16 - 0.021 },
        ],
      },
      schedule: [],
      untilS,
      sampleRateHz: 20,
      probes: { i: { kind: 'current', element: 'r' } },
    });

  it('trips at its stated time at twice its holding current', () => {
    for (const type of ['ptc', 'bimetal'] as const) {
      const tripped = run(type, 12).events.find(({ what }) => what === 'tripped')!;
      expect(Math.abs(tripped.timeS / 10 - 1)).toBeLessThan(2e-3);
    }
  });
  it('as a PTC stays hot on a trickle below 1 A while voltage is held', () => {
    const { values, events } = run('ptc', 60);
    expect(values.i!.at(-1)).toBeGreaterThan(0.1);
    expect(values.i!.at(-1)).toBeLessThan(1);
    expect(events.filter(({ what }) => what === 'reset')).toHaveLength(0);
  });
  it('as a bimetal cuts to nothing and comes back after its reset time', () => {
    const { values, events } = run('bimetal', 45);
    expect(values.i![20 * 15]).toBeLessThan(1e-3);
    const times = events.filter(({ element }) => element === 'pr').map(({ timeS }) => timeS);
    expect(times[1]! - times[0]!).toBeCloseTo(20, 5);
    expect(events.filter(({ what }) => what === 'tripped')).toHaveLength(2);
  });
});
