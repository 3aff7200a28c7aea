// What the parts of a build carry, solved from their own circuits, and the verdicts on both sides of each limit.

import { describe, expect, it } from 'vitest';
import { nominalInput } from '../../host/circuit/index.js';
import {
  type Build,
  type Carried,
  carriedBy,
  type DeclaredCurrents,
  plannedCurrents,
  type RatingRow,
  ratingsOf,
} from '../../host/plan/index.js';
import { loadCircuit, loadParts, loadUnit } from '../../host/profile/index.js';

const on = (circuit: string) => ({ ...loadUnit('entry-step-relays'), style: loadCircuit(circuit) });

const BUILD: Build = {
  wire: { lengthM: 1.5, areaMm2: 2.5 },
  dropPercent: 3,
  nominalVoltageV: 12,
  ambientC: 20,
  duty: 'short',
  protector: { opensFromS: 4, opensToS: 90 },
  parts: loadParts(),
};

function rated(
  circuit: string,
  declared: DeclaredCurrents,
  build: Partial<Build> = {},
  motors = 1,
  pairs = 1,
): RatingRow[] {
  const unit = on(circuit);
  const input = { ...nominalInput(unit), temperatureC: build.ambientC ?? BUILD.ambientC };
  return ratingsOf(input, plannedCurrents(unit, 13, declared), { ...BUILD, ...build }, { motors, pairs })
    .rows;
}

function row(rows: readonly RatingRow[], kind: RatingRow['kind']): RatingRow {
  const found = rows.find((each) => each.kind === kind);
  if (found === undefined) throw new Error(`no row ${kind}`);
  return found;
}

const bearing = (rows: readonly RatingRow[], kind: RatingRow['kind']) => row(rows, kind).bearing;

/** Most of any part of a kind. */
function carried(circuit: string, kind: string): Carried {
  const { parts } = carriedBy(nominalInput(on(circuit)), { runningA: 8, heldA: 25 });
  const all = parts.filter(({ carrier }) => carrier.kind === kind).map(({ carried: each }) => each);
  const most = (key: keyof Carried): number => Math.max(0, ...all.map((each) => each[key]));
  return {
    runningA: most('runningA'),
    startA: most('startA'),
    heldA: most('heldA'),
    brakeA: most('brakeA'),
    reversalA: most('reversalA'),
  };
}

describe('what a part carries', () => {
  it.each([
    'switch-carried-open-rest',
    'switch-carried-grounded-rest',
    'main-and-remote-switch',
    'limit-actuator-switch',
  ])('is the whole motor in the switch of %s', (circuit) => {
    const { runningA, heldA } = carried(circuit, 'switch');
    expect(runningA).toBeCloseTo(8, 1);
    expect(heldA).toBeCloseTo(25, 1);
  });

  it.each([
    'relay-pair-ground-thrown',
    'relay-pair-positive-thrown',
    'relay-pair-rests-high',
    'single-relay',
  ])('is the coils only in the small switch of %s, and the motor in the contacts', (circuit) => {
    // 12 to 13 V on a coil of 85 Ohm with 680 Ohm beside it, 0.16 to 0.18 A: Ohm's law.
    const small = carried(circuit, 'small-switch');
    expect(small.runningA).toBeGreaterThan(0.14);
    expect(small.runningA).toBeLessThan(0.18);
    expect(small.heldA).toBeLessThan(0.18);
    expect(carried(circuit, 'make').runningA).toBeCloseTo(8, 1);
    expect(carried(circuit, 'switch').runningA).toBe(0);
  });

  it('of the brake runs through rest contacts where there are any, and never through the feed', () => {
    for (const circuit of [
      'relay-pair-ground-thrown',
      'limit-actuator-relay-pair',
      'relay-pair-rests-high',
    ]) {
      // Opposite current from free run: 0.6 to 0.7 of stall, derived from circuit equations for a running current of a
      // fifth of it; at 8 of 25 A there is less back-EMF left, (13 - 8 x 0.52) / 13 of it at the most.
      expect(carried(circuit, 'break').brakeA).toBeGreaterThan(0.3 * 25);
      expect(carried(circuit, 'break').brakeA).toBeLessThan(0.7 * 25);
      expect(carried(circuit, 'make').brakeA).toBeLessThan(0.05);
      expect(carried(circuit, 'feed').brakeA).toBeLessThan(0.05);
    }
    for (const circuit of ['switch-carried-open-rest', 'single-relay']) {
      expect(carried(circuit, 'wire').brakeA).toBe(0);
    }
  });

  it('when thrown over without a pause is more than held', () => {
    // 1.4 to 1.6 times stall from a light load, derived from circuit equations; less from 8 of 25 A.
    const { reversalA } = carried('relay-pair-ground-thrown', 'make');
    expect(reversalA).toBeGreaterThan(1.05 * 25);
    expect(reversalA).toBeLessThan(1.6 * 25);
    expect(carried('single-relay', 'make').reversalA).toBe(0);
  });

  it('is two motors where two hang on one switch', () => {
    const rows = rated('switch-carried-open-rest', { runningA: 13, heldA: 30 }, { switchA: 27 }, 2);
    expect(row(rows, 'switch').demand.most.runningA).toBeCloseTo(26, 1);
    expect(bearing(rows, 'switch')).toBe('bears');
    expect(
      bearing(rated('switch-carried-open-rest', { runningA: 13, heldA: 30 }, { switchA: 25.9 }, 2), 'switch'),
    ).toBe('does-not-bear');
  });

  it('refuses a current that the circuit cannot let through', () => {
    expect(() => rated('switch-carried-open-rest', { runningA: 13, heldA: 500 })).toThrow(/500 A/);
  });
});

describe('two motors whose held current nobody told', () => {
  it('are held at what the supply lets through, by Ohm’s law, and are not refused', () => {
    const unit = on('relay-pair-ground-thrown');
    const input = { ...nominalInput(unit), temperatureC: 20, wiring: { lengthM: 4, areaMm2: 2.5 } };
    const build = { ...BUILD, wire: input.wiring };
    const currents = plannedCurrents(unit, 13, {});
    const one = ratingsOf(input, currents, build).motor.most.heldA;
    const two = ratingsOf(input, currents, build, { motors: 2 }).motor.most.heldA;
    // Between what one draws and twice that; never more than the wires alone would let through: 16 m of 2.5 mm2 at
    // 58 MS/m (IEC 60028) and the supply's own resistance.
    const loopOhm = 16 / 58 / 2.5 + input.supply.sourceResistanceOhm;
    expect(two).toBeGreaterThan(one);
    expect(two).toBeLessThan(2 * one);
    expect(two).toBeLessThan(input.supply.voltageV / loopOhm);
  });
});

describe('two relay pairs on one small switch', () => {
  const [single, double] = [1, 2].map((count) =>
    rated('relay-pair-ground-thrown', { runningA: 13, heldA: 25 }, { switchA: 0.25 }, 1, count),
  );
  const pairs = (count: 1 | 2): RatingRow[] => (count === 1 ? single : double) ?? [];

  it('put twice the coils on the switch and the coil fuse, and nothing more on contacts, wires and feed fuse', () => {
    for (const kind of ['small-switch', 'coil-feed'] as const)
      expect(row(pairs(2), kind).demand.most.runningA).toBeCloseTo(
        2 * row(pairs(1), kind).demand.most.runningA,
        6,
      );
    for (const kind of ['make', 'break', 'feed', 'wire'] as const)
      expect(row(pairs(2), kind).demand).toEqual(row(pairs(1), kind).demand);
  });

  it('are too many for a switch that serves one', () => {
    // 0.16 to 0.18 A a coil, Ohm's law on 85 Ohm beside 680 Ohm.
    expect(bearing(pairs(1), 'small-switch')).toBe('bears');
    expect(bearing(pairs(2), 'small-switch')).toBe('does-not-bear');
  });

  it('have two fuses, each with its part: the coils in one, the motor in the other', () => {
    expect(row(pairs(1), 'coil-feed').demand.most.runningA).toBeLessThan(0.4);
    expect(row(pairs(1), 'feed').demand.most.runningA).toBeCloseTo(13, 1);
  });
});

describe('every part, just inside and just outside what it bears', () => {
  const draws = { runningA: 13, heldA: 25 };
  it.each([
    // Common practice, no source: rated above what it carries.
    ['make', { makeA: 13.1 }, { makeA: 12.9 }],
    ['break', { breakA: 13.1 }, { breakA: 12.9 }],
    // 0.16 to 0.18 A of one coil, Ohm's law.
    ['small-switch', { switchA: 0.19 }, { switchA: 0.13 }],
    ['coil-feed', { coilFuseA: 0.4 }, { coilFuseA: 0.13 }],
    ['feed', { fuseA: 13.1 }, { fuseA: 12.9 }],
    // 3 % of 12 V: 0.36 V at 13 A over feed, two leads, ground and two links of 0.1 m, 3.2 m, takes 1.99 mm2 at 58 MS/m
    // (IEC 60028); a stranded 2.5 and a 1.5 mm2.
    ['wire-drop', { wire: { lengthM: 0.75, areaMm2: 2.5 } }, { wire: { lengthM: 0.75, areaMm2: 1.5 } }],
    // Published table of chassis wiring: AWG 18 carries 16 A, AWG 20 11 A.
    ['wire', { wire: { lengthM: 1.5, awg: 18 }, fuseA: 15 }, { wire: { lengthM: 1.5, awg: 20 }, fuseA: 15 }],
  ] as const)('%s', (kind, inside, outside) => {
    expect(bearing(rated('relay-pair-ground-thrown', draws, inside), kind)).toBe('bears');
    expect(bearing(rated('relay-pair-ground-thrown', draws, outside), kind)).toBe('does-not-bear');
  });
});

describe('a switch', () => {
  const draws13 = { runningA: 13, heldA: 25 };
  it.each([
    // Common practice, no source: rated above what the motor draws; 16 A serve one of 13 A.
    [16, 'bears'],
    [13.1, 'bears'],
    [13, 'does-not-bear'],
  ])('of %s A under 13 A: %s', (switchA, verdict) => {
    expect(bearing(rated('switch-carried-open-rest', draws13, { switchA }), 'switch')).toBe(verdict);
  });

  it('of a relay pair serves with 3 A, and would not with a tenth of one', () => {
    // Common practice, no source: 3 to 5 A on the ground side.
    expect(bearing(rated('relay-pair-ground-thrown', draws13, { switchA: 3 }), 'small-switch')).toBe('bears');
    expect(bearing(rated('relay-pair-ground-thrown', draws13, { switchA: 0.1 }), 'small-switch')).toBe(
      'does-not-bear',
    );
  });

  it('whose rating nobody told is sized, not judged', () => {
    const found = row(rated('switch-carried-open-rest', draws13), 'switch');
    expect(found).toMatchObject({ bearing: 'not-known', isDeclared: false, needs: 'above 13.0 A' });
  });
});

describe('a fuse', () => {
  const draws13 = { runningA: 13, heldA: 35 };
  const fuse = (build: Partial<Build>, currents: DeclaredCurrents = draws13) =>
    row(rated('switch-carried-open-rest', currents, build), 'feed');

  it('of 15 A serves 13 A in short runs, of 20 A without end', () => {
    expect(fuse({ fuseA: 15 })).toMatchObject({ bearing: 'bears', needs: '15 A' });
    expect(fuse({ fuseA: 10 }).bearing).toBe('does-not-bear');
    // 75 % of 15 A are 11.25 A, of 20 A 15 A.
    expect(fuse({ fuseA: 15, duty: 'continuous' }).bearing).toBe('does-not-bear');
    expect(fuse({ fuseA: 20, duty: 'continuous' })).toMatchObject({ bearing: 'bears', needs: '20 A' });
  });

  it('of 20 A bears 14.9 A without end and not 15.1 A', () => {
    expect(fuse({ fuseA: 20, duty: 'continuous' }, { ...draws13, runningA: 14.9 }).bearing).toBe('bears');
    expect(fuse({ fuseA: 20, duty: 'continuous' }, { ...draws13, runningA: 15.1 }).bearing).toBe(
      'does-not-bear',
    );
  });

  it('may carry less at 85 C', () => {
    // Littelfuse 299 MAXI sheet: 30 of 40 A at 85 C; 15 A become 11.25 A.
    expect(fuse({ fuseA: 15, ambientC: 85 }, { runningA: 11.2, heldA: 20 }).bearing).toBe('bears');
    expect(fuse({ fuseA: 15, ambientC: 85 }, { runningA: 11.3, heldA: 20 }).bearing).toBe('does-not-bear');
  });

  it('of the style itself is judged as it is rated, 15 A, in place of one that is to be chosen', () => {
    const rows = (build: Partial<Build>, runningA: number): RatingRow[] =>
      rated('switch-motor-on-commons', { runningA, heldA: 30 }, build).filter(({ kind }) => kind === 'feed');
    expect(rows({}, 14.9)).toMatchObject([
      { title: 'main fuse', rated: 15, isDeclared: true, bearing: 'bears' },
    ]);
    expect(rows({}, 15.1)).toMatchObject([{ bearing: 'does-not-bear' }]);
    expect(rows({ fuseA: 20 }, 15.1)).toMatchObject([{ title: 'main fuse', rated: 20, bearing: 'bears' }]);
  });

  it('that a start may open is not called good', () => {
    expect(fuse({ fuseA: 15 }, { runningA: 13, startA: 35, heldA: 50 }).bearing).toBe('bears');
    const quick = fuse({ fuseA: 15 }, { runningA: 13, startA: 45, heldA: 50 });
    expect(quick.bearing).toBe('not-known');
    expect(quick.notes.join(' ')).toMatch(/may open it/);
  });

  it.each([
    // Gates of the 10 A blade, and 135 %: see blade-fuses. 4 to 90 s: workshop manuals on window motors.
    { heldA: 15.5, ratedA: 15, says: /will not end this; the motor's protector should, within 4 to 90 s/ },
    { heldA: 18, ratedA: 15, says: /may not end this; the motor's protector should, within 4 to 90 s/ },
    { heldA: 28, ratedA: 15, says: /opens in 0.15 s to 50 s, .* either may be first/ },
    { heldA: 60, ratedA: 15, says: /ends this in 0.02 s to 0.50 s, before the motor's protector/ },
  ])('of $ratedA A says what it does under $heldA A', ({ heldA, ratedA, says }) => {
    expect(fuse({ fuseA: ratedA }, { runningA: 8, startA: 10, heldA }).notes.join(' ')).toMatch(says);
  });
});

describe('relay contacts', () => {
  it('are the weaker at 87a: 20 A and the published 40 A for a moment', () => {
    // Omron G8JN: make 35 A, break 20 A; inrush 120 and 40 A.
    const found = (heldA: number) =>
      bearing(rated('relay-pair-ground-thrown', { runningA: 8, heldA }, { makeA: 35, breakA: 20 }), 'break');
    expect(found(40)).toBe('bears');
    expect(found(75)).toBe('not-known');
    const runs = (runningA: number) =>
      bearing(rated('relay-pair-ground-thrown', { runningA, heldA: 40 }, { makeA: 35, breakA: 20 }), 'break');
    expect(runs(19.9)).toBe('bears');
    expect(runs(20.1)).toBe('does-not-bear');
  });

  it('of no told rating are judged by what all published ones have in common', () => {
    // dtsheet.com/doc/683074: 25 and 10 A; ic72.com, 76160116778856: 40 and 30 A.
    const found = (runningA: number) =>
      bearing(rated('relay-pair-ground-thrown', { runningA, heldA: 45 }), 'make');
    expect(found(24)).toBe('bears');
    expect(found(26)).toBe('not-known');
    expect(found(41)).toBe('does-not-bear');
  });
});

describe('wires', () => {
  const wire = (kind: 'wire' | 'wire-drop', build: Partial<Build>, runningA = 13) =>
    bearing(rated('switch-carried-open-rest', { runningA, heldA: 30 }, build), kind);

  it('bear what the table of chassis wiring allows, and the fuse ahead of them', () => {
    // HyperPhysics: AWG 18, 16 A; AWG 20, 11 A.
    expect(wire('wire', { wire: { lengthM: 1, awg: 18 } })).toBe('bears');
    expect(wire('wire', { wire: { lengthM: 1, awg: 20 } })).toBe('does-not-bear');
    // The larger fuse of a load without end is more than AWG 18 carries.
    expect(wire('wire', { wire: { lengthM: 1, awg: 18 }, fuseA: 20 })).toBe('does-not-bear');
    expect(wire('wire', { wire: { lengthM: 1, awg: 16 }, fuseA: 20 })).toBe('bears');
  });

  it('drop 0.36 V of 12 V at the most', () => {
    // 2.5 mm2 of IEC 60228 class 5, 7.98 mOhm/m: 13 A drop 0.36 V over 3.470 m. In reverse that is feed, two leads and
    // ground, and two jumpers of 0.1 m.
    expect(wire('wire-drop', { wire: { lengthM: 0.81, areaMm2: 2.5 } })).toBe('bears');
    expect(wire('wire-drop', { wire: { lengthM: 0.82, areaMm2: 2.5 } })).toBe('does-not-bear');
    // 0.393 % a kelvin more at 60 C.
    expect(wire('wire-drop', { wire: { lengthM: 0.81, areaMm2: 2.5 }, ambientC: 60 })).toBe('does-not-bear');
  });

  it('drop what the circuit itself says that they do', () => {
    // Kirchhoff: the lead voltages that the solver gives, less what contacts and joints keep.
    const style = loadCircuit('main-and-remote-switch');
    const wires = style.elements.filter(({ kind }) => kind === 'wire').length;
    const rows = rated(
      'main-and-remote-switch',
      { runningA: 5, heldA: 20 },
      { wire: { lengthM: 2, areaMm2: 2.5 } },
    );
    const drop = row(rows, 'wire-drop');
    // From the remote place: feed, remote feed, lead, lead, wire between the switches, ground: six of its seven wires.
    expect(wires).toBe(7);
    expect(rows.filter(({ kind }) => kind === 'wire-drop')).toHaveLength(1);
    expect(drop.title).toBe('drop over 12.0 m of wire');
    expect(drop.demand.most.runningA).toBeCloseTo(5 * 12 * 0.00798, 3);
  });
});

describe('currents', () => {
  it('that are only known for the kind of motor leave a verdict open within their range', () => {
    // The family of this profile runs at 4 to 12 A.
    const found = (switchA: number) => bearing(rated('switch-carried-open-rest', {}, { switchA }), 'switch');
    expect(found(12.1)).toBe('bears');
    expect(found(8)).toBe('not-known');
    expect(found(4)).toBe('does-not-bear');
  });

  it('of which only the running one is told leave the held one no lower than it can be, and as much more than usual', () => {
    // The family runs at 4 to 12 A and is held at 15 to 40 A; none runs at more than 0.75 of what holds it.
    const unit = on('switch-carried-open-rest');
    const held = (runningA: number) => plannedCurrents(unit, 13, { runningA });
    expect(held(6).held).toMatchObject({ least: 15, most: 40 });
    expect(held(6)).not.toHaveProperty('usual');
    expect(held(12).held).toMatchObject({ least: 16, most: 40 });
    expect(held(18).held).toMatchObject({ least: 24, most: 60 });
    expect(held(18).usual).toEqual({ least: 4, most: 12 });
  });

  it('come from a run with their uncertainty, the larger of both ways', () => {
    const kept = {
      forwardRunningCurrentA: { value: 7.5, expandedUncertainty: 0.2 },
      reverseRunningCurrentA: { value: -8, expandedUncertainty: 0.3 },
      forwardInrushPeakA: { value: 20, expandedUncertainty: 0.5 },
    };
    const { running, start, held } = plannedCurrents(on('single-relay'), 13, {}, kept);
    expect(running).toMatchObject({ origin: 'measured' });
    expect(running.least).toBeCloseTo(7.7, 9);
    expect(running.most).toBeCloseTo(8.3, 9);
    expect(start).toEqual({ least: 19.5, most: 20.5, origin: 'measured' });
    expect(held).toEqual({ least: 15, most: 40, origin: 'family' });
    expect(plannedCurrents(on('single-relay'), 13, { runningA: 5 }, kept).running).toEqual({
      least: 5,
      most: 5,
      origin: 'declared',
    });
  });

  it('of throws with the rotor held are never running ones', () => {
    const kept = {
      forwardRunningCurrentA: { value: 17, expandedUncertainty: 0.2 },
      forwardHeldRotorCurrentA: { value: 17.5, expandedUncertainty: 0.2 },
      reverseRunningCurrentA: { value: -6, expandedUncertainty: 0.2 },
    };
    const { running, held } = plannedCurrents(on('single-relay'), 13, {}, kept);
    expect(running).toEqual({ least: 5.8, most: 6.2, origin: 'measured' });
    expect(held).toEqual({ least: 17.3, most: 17.7, origin: 'measured' });
  });

  it('that an instrument cut off have to be declared', () => {
    const kept = { forwardInrushPeakA: { value: 20, expandedUncertainty: 0.5, atLeast: true } };
    expect(() => plannedCurrents(on('single-relay'), 13, {}, kept)).toThrow(/declare it with --start-a/);
    expect(plannedCurrents(on('single-relay'), 13, { startA: 30 }, kept).start?.most).toBe(30);
  });
});

describe('wires that do not let the motor run', () => {
  // 48 m of 0.5 mm2 and two jumpers at 20 C: 48.2 m x 39 mOhm/m (IEC 60228:2004, class 5) = 1.88 Ohm, 15.0 V at 8 A.
  const unit = on('switch-carried-open-rest');
  const wire = { lengthM: 12, areaMm2: 0.5 };
  const of = (declared: DeclaredCurrents) =>
    ratingsOf(
      { ...nominalInput(unit), temperatureC: 20, wiring: wire },
      plannedCurrents(unit, 13, declared),
      { ...BUILD, wire },
    ).rows;

  it('are told by their drop, and the rest is reckoned as if they did', () => {
    const rows = of({ runningA: 8, heldA: 25 });
    const drop = row(rows, 'wire-drop');
    expect(drop.bearing).toBe('does-not-bear');
    expect(drop.demand.most.runningA).toBeCloseTo(48.2 * 0.039 * 8, 2);
    expect(drop.needs).toMatch(/^wire thicker than /);
    expect(drop.notes).toHaveLength(1);
    expect(row(rows, 'switch').demand.most.runningA).toBeCloseTo(8, 2);
  });

  it('say nothing of it where the motor runs through them', () => {
    expect(row(of({ runningA: 2, heldA: 5 }), 'wire-drop').notes).toEqual([]);
  });

  it('are not blamed for a current that no wire lets through', () => {
    expect(() => of({ runningA: 400, heldA: 900 })).toThrow(/does not let 900 A through the motor/);
  });
});

describe('wires in a warm place', () => {
  const wires = (ambientC: number) =>
    row(rated('switch-carried-open-rest', { runningA: 4, heldA: 12 }, { ambientC }), 'wire');

  it('are told that their table knows no ambient', () => {
    expect(wires(40).notes).toEqual([]);
    expect(wires(60)).toMatchObject({
      bearing: 'bears',
      notes: [
        expect.stringMatching(
          /tells no ambient: at 60 °C, or in a bundle of loaded wires, .* less than 32 A/,
        ),
      ],
    });
  });

  it('are not said to bear it above what usual insulation is made for', () => {
    // Class A of ISO 6722: 85 C, value from memory.
    expect(wires(85).bearing).toBe('bears');
    expect(wires(86)).toMatchObject({
      bearing: 'not-known',
      notes: [expect.stringMatching(/made for 85 °C at the most: at 86 °C its own sheet must say/)],
    });
  });
});
