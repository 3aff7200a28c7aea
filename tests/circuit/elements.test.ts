// Each element against its outside source: conductor tables, fuse gates, relay coil closed forms, friction, stops, ripple.

import { describe, expect, it } from 'vitest';
import {
  awgAreaMm2,
  type CircuitElement,
  type MotorElement,
  meltingTimeS,
  type RelayElement,
  type ScheduleEntry,
  simulate,
  wireResistanceOhm,
} from '../../host/circuit/index.js';

const supply = (voltageV: number, sourceResistanceOhm = 1e-3): CircuitElement => {
  return { kind: 'supply', id: 'v', plus: 'p', minus: 'ground', voltageV, sourceResistanceOhm };
};
const MOTOR: MotorElement = {
  kind: 'motor',
  id: 'm',
  a: 'p',
  b: 'ground',
  resistanceOhm: 0.6,
  inductanceH: 2e-4,
  backEmfVsPerRad: 0.03,
  torqueNmPerA: 0.028,
  inertiaKgM2: 5e-5,
  viscousNms: 1e-5,
  coulombNm: 0.04,
  brushDropV: 0,
  brushKneeA: 0.3,
  temperatureC: 25,
};
const MOTOR_PROBES = {
  i: { kind: 'current', element: 'm' },
  w: { kind: 'speed', element: 'm' },
  angle: { kind: 'angle', element: 'm' },
} as const;
function runMotor(
  motor: MotorElement,
  voltageV: number,
  untilS: number,
  schedule: ScheduleEntry[] = [],
  extra: CircuitElement[] = [],
) {
  const netlist = { elements: [supply(voltageV), motor, ...extra] };
  return simulate({ netlist, schedule, untilS, sampleRateHz: 10_000, probes: MOTOR_PROBES });
}

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

describe('motor', () => {
  it('sticks until the torque exceeds Coulomb friction, and then runs', () => {
    const stuck = runMotor(MOTOR, 0.8, 0.1);
    expect(stuck.values.w!.every((w) => w === 0)).toBe(true);
    // 0.8 V / 0.6 Ohm x 0.028 = 0.037 Nm holds, 0.9 V gives 0.042 Nm and slips.
    expect(runMotor(MOTOR, 0.9, 0.5).values.w!.at(-1)).toBeGreaterThan(0.5);
  });

  it('coasts down linearly under Coulomb friction alone and stops at J w0 / T', () => {
    const element = { ...MOTOR, b: 'q', viscousNms: 0 };
    const extra: CircuitElement[] = [
      {
        kind: 'contact',
        id: 's',
        a: 'q',
        b: 'ground',
        closed: true,
        contactResistanceOhm: 0.001,
        closeDelayS: 0,
        openDelayS: 0,
      },
      { kind: 'resistor', id: 'load', a: 'q', b: 'p', resistanceOhm: 1e6 },
    ];
    const run = runMotor(element, 12, 1.5, [{ atS: 0.8, settings: [{ element: 's', state: false }] }], extra);
    const w0 = run.values.w![8000]!;
    const stop = run.events.find(
      ({ element: id, what, timeS }) => id === 'm' && what === 'stuck' && timeS > 0.8,
    )!;
    expect(Math.abs((stop.timeS - 0.8) / ((5e-5 * w0) / 0.04) - 1)).toBeLessThan(2e-3);
    expect(run.values.w![8000 + 2000]! / (w0 - (0.04 / 5e-5) * 0.2)).toBeCloseTo(1, 2);
  });

  it('draws stall current with its rotor held, and starts when let go', () => {
    const run = runMotor({ ...MOTOR, rotorHeld: true }, 12, 0.6, [
      { atS: 0.1, settings: [{ element: 'm', state: false }] },
    ]);
    expect(run.values.i![999]).toBeCloseTo(12 / 0.601, 2);
    expect(run.values.w![999]).toBe(0);
    expect(run.values.w!.at(-1)).toBeGreaterThan(300);
  });

  it('stops dead at an end stop, stays under drive, and leaves it when driven back', () => {
    const element: MotorElement = { ...MOTOR, a: 'x', b: 'y', endStopsRad: { minimum: -10, maximum: 20 } };
    const pole = (id: string, forward: string, reverse: string) => ({
      id,
      common: id,
      throws: { forward, reverse },
      contactResistanceOhm: 0.001,
    });
    const elements: CircuitElement[] = [
      supply(12),
      {
        kind: 'switch',
        id: 'sw',
        position: 'forward',
        transferS: 0.001,
        delayS: 0,
        poles: [pole('x', 'p', 'ground'), pole('y', 'ground', 'p')],
      },
      element,
      { kind: 'resistor', id: 'lx', a: 'x', b: 'ground', resistanceOhm: 1000 },
      { kind: 'resistor', id: 'ly', a: 'y', b: 'ground', resistanceOhm: 1000 },
    ];
    const run = simulate({
      netlist: { elements },
      schedule: [{ atS: 0.5, settings: [{ element: 'sw', state: 'reverse' }] }],
      untilS: 1,
      sampleRateHz: 10_000,
      probes: MOTOR_PROBES,
    });
    expect(run.values.angle![4900]).toBeCloseTo(20, 6);
    expect(run.values.i![4900]).toBeCloseTo(12 / 0.603, 1);
    expect(run.values.angle!.at(-1)).toBeCloseTo(-10, 6);
    expect(Math.max(...run.values.angle!)).toBeLessThan(20.00001);
    const { suppliedJ, dissipatedJ, storedJ } = run.energy;
    expect(Math.abs(suppliedJ - dissipatedJ - storedJ) / suppliedJ).toBeLessThan(1e-3);
  });

  it('ripples in current at segments times shaft speed', () => {
    const run = runMotor({ ...MOTOR, ripple: { segments: 10, amplitude: 0.05 } }, 12, 0.6);
    const tail = run.values.i!.subarray(5000);
    const mean = tail.reduce((sum, i) => sum + i, 0) / tail.length;
    let crossings = 0;
    for (let k = 1; k < tail.length; k++) if (tail[k - 1]! < mean && tail[k]! >= mean) crossings++;
    const shaftHz = run.values.w!.at(-1)! / (2 * Math.PI);
    expect(Math.abs(crossings / 0.1 / (10 * shaftHz) - 1)).toBeLessThan(0.03);
  });

  it.for([
    [8, 0.02],
    [10, 0.05],
    [12, 0.04],
  ] as const)(
    'ripples as stated: %i periods a turn, back-EMF by a fraction of %f',
    ([segments, amplitude]) => {
      // Running free at w0 (inertia keeps the speed within a ripple period), V = R i + L di/dt + ke w (1 + A cos(n angle))
      // is a phasor equation: |i| = A ke w / sqrt(R^2 + (n w L)^2), against the back-EMF and late by atan(n w L / R).
      const wave = { ...MOTOR, coulombNm: 0, viscousNms: 0, ripple: { segments, amplitude } };
      const w0 = 300;
      const run = runMotor(wave, 0.03 * w0, 3);
      const from = 25_000;
      const turns = (run.values.angle!.at(-1)! - run.values.angle![from]!) / (2 * Math.PI);
      const w = (turns * 2 * Math.PI) / ((run.values.i!.length - 1 - from) / 10_000);
      let [cosine, sine, mean] = [0, 0, 0];
      for (let k = from; k < run.values.i!.length; k++) {
        const phase = segments * run.values.angle![k]!;
        cosine += run.values.i![k]! * Math.cos(phase);
        sine += run.values.i![k]! * Math.sin(phase);
        mean += run.values.i![k]!;
      }
      const count = run.values.i!.length - from;
      const peakA = (2 * Math.hypot(cosine, sine)) / count;
      const reactanceOhm = segments * w * 2e-4 - (0.03 * 0.028) / (segments * w * 5e-5);
      const ohm = Math.hypot(0.601, reactanceOhm);
      expect(w / w0).toBeCloseTo(1, 2);
      expect(Math.abs(mean / count)).toBeLessThan(0.05 * peakA);
      expect(Math.abs(peakA / ((amplitude * 0.03 * w) / ohm) - 1)).toBeLessThan(0.01);
      const lagRad = Math.atan2(-sine, -cosine);
      expect(Math.abs(lagRad)).toBeCloseTo(Math.atan(reactanceOhm / 0.601), 2);
      // Nothing at the neighbouring orders: the frequency is `segments` a turn.
      for (const other of [segments - 1, segments + 1]) {
        let [c, s] = [0, 0];
        for (let k = from; k < run.values.i!.length; k++) {
          c += run.values.i![k]! * Math.cos(other * run.values.angle![k]!);
          s += run.values.i![k]! * Math.sin(other * run.values.angle![k]!);
        }
        expect((2 * Math.hypot(c, s)) / count).toBeLessThan(0.03 * peakA);
      }
    },
  );

  it('shows a faulty stretch of commutator once a turn', () => {
    const run = runMotor(
      { ...MOTOR, segmentFault: { kind: 'open', resistanceFactor: 3, widthTurns: 0.1 } },
      12,
      0.6,
    );
    const tail = run.values.i!.subarray(5000);
    const mean = tail.reduce((sum, i) => sum + i, 0) / tail.length;
    let dips = 0;
    for (let k = 1; k < tail.length; k++) if (tail[k - 1]! >= 0.97 * mean && tail[k]! < 0.97 * mean) dips++;
    const turns = (run.values.angle!.at(-1)! - run.values.angle![5000]!) / (2 * Math.PI);
    expect(Math.abs(dips - turns)).toBeLessThan(1.01);
  });

  it('hot, loses stall current and gains free speed: 25 to 80 C gives R +21 %, flux -11 %', () => {
    const hot = { ...MOTOR, temperatureC: 80 };
    const stall = (element: MotorElement) =>
      runMotor({ ...element, rotorHeld: true }, 12, 0.1).values.i!.at(-1)!;
    // (1 + 0.00393 x 60) / (1 + 0.00393 x 5), IEC 60028.
    expect(stall(MOTOR) / stall(hot)).toBeCloseTo(1.2358 / 1.01965, 2);
    const free = (element: MotorElement) =>
      runMotor({ ...element, coulombNm: 0, viscousNms: 0 }, 12, 1.5).values.w!.at(-1)!;
    expect(free(hot) / free(MOTOR)).toBeCloseTo(1 / 0.89, 2);
  });

  it('drops its brush voltage above the knee only', () => {
    const held = { ...MOTOR, rotorHeld: true, brushDropV: 1 };
    expect(runMotor(held, 12, 0.1).values.i!.at(-1)).toBeCloseTo(11 / 0.601, 2);
    // Below the knee the drop is 1 V / 0.3 A more resistance.
    expect(runMotor(held, 0.5, 0.1).values.i!.at(-1)).toBeCloseTo(0.5 / (0.601 + 1 / 0.3), 4);
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
