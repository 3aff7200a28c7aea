// The wrong wire found with a hand meter before any power: seeded faults of every style by dialogue (drawn, no outside source),
// the jumpers of a six-terminal switch, and a relay by itself with its coil fed through a lamp.

import { afterAll, describe, expect, it } from 'vitest';
import { faultById, seededRandom } from '../../host/circuit/index.js';
import { rulesOf } from '../../host/commands/meter-sheet.js';
import {
  isSeen,
  isWrong,
  lampReadings,
  lampSystemOf,
  meterChecks,
  startMetering,
} from '../../host/plan/index.js';
import { conclude, withReading } from '../../host/probe/index.js';
import { loadUnit, plainValues, type ResolvedUnit } from '../../host/profile/index.js';
import { faultsOf, TABLES } from './jumper-rows.js';
import { metered } from './metered.js';
import { meteringRow, missedText, rowText, unitsOfEveryStyle } from './metering-table.js';

const SEED = 4711;
const UNITS = 12;
const told: string[] = [];
afterAll(() => console.log(told.join('\n')));
/** The others are long to solve: `npm run metering` goes through all. */
const QUICK = {
  ohms: [
    'relay-pair-ground-thrown',
    'single-relay',
    'switch-carried-open-rest',
    'relay-alone',
    'motor-alone',
  ],
  lamp: ['single-relay', 'switch-carried-grounded-rest', 'relay-alone'],
} as const;
const units = unitsOfEveryStyle();

describe.each(['ohms', 'lamp'] as const)(`${UNITS} seeded faults, seed ${SEED}, in %s`, (way) => {
  it.each(QUICK[way])(
    'of %s: found or in the group, and a good one is proven',
    (circuit) => {
      const unit = units.find(({ style }) => style.id === circuit);
      const row = unit && meteringRow(unit, { way, units: UNITS, seed: SEED });
      if (row === undefined) throw new Error('nothing to measure');
      told.push(rowText(row));
      // 99 of a hundred: of twelve, all.
      expect(row.missed.map(missedText)).toEqual([]);
      expect(row.good.isRight, missedText(row.good)).toBe(true);
      // What parts best comes first: half of the faults take less than the whole sheet, or a short one and its confirmation.
      expect(row.median).toBeLessThanOrEqual(Math.max(row.proving, 5));
    },
    60_000,
  );
});

describe('a unit is right', () => {
  const unit = loadUnit('window-lift-switch');
  const metering = startMetering(unit);
  if (metering === undefined) throw new Error('nothing to measure');

  it('only when every fault that the meter shows has been ruled out', () => {
    const found = metered(unit, metering, seededRandom(3), { way: 'ohms', fault: undefined });
    expect(found.end.kind).toBe('one');
    // Without the last reading it was not right yet.
    const before = found.probing.taken
      .slice(0, -1)
      .reduce((so, { probe, reading }) => withReading(so, probe, reading), metering.probing);
    expect(conclude(before, () => true).kind).toBe('open');
  });

  it.each(
    meterChecks(unit).checks.map(({ reading }) => [`${reading.from.words} to ${reading.to.words}`, reading]),
  )('never while %s, and all that shows the same, was skipped', (_, spared) => {
    const { onlyHere } = meterChecks(unit).checks.find(({ reading }) => reading.id === spared.id) ?? {};
    const [fault] = onlyHere ?? [];
    if (fault === undefined) throw new Error('spare');
    let probing = metering.probing;
    for (let step = 0; step < 80; step++) {
      const end = conclude(probing, ({ id }) => {
        const reading = metering.good.get(id)?.reading;
        return reading !== undefined && !isSeen(reading, [fault]);
      });
      if (end.kind !== 'open') {
        expect(end.kind).toBe('group');
        expect(end.left.map(({ suspect }) => suspect.cause.id)).toEqual(
          expect.arrayContaining(['healthy', fault.id]),
        );
        return;
      }
      const value = metering.good.get(end.next.id)?.reading.shown([]) ?? Number.NaN;
      probing = withReading(probing, end.next, { kind: 'number', value });
    }
    throw new Error('no end');
  });
});

describe.each(TABLES)('jumpers with $words', ({ style, rows }) => {
  const unit = { ...loadUnit('entry-step-relays'), style };
  const metering = startMetering(unit);
  if (metering === undefined) throw new Error('nothing to measure');

  it.each(rows.filter(({ edits }) => edits.length > 0))(
    '$words: never end as right, by readings alone',
    ({ edits }) => {
      const faults = faultsOf(style, edits);
      let probing = metering.probing;
      for (let step = 0; step < 80; step++) {
        const end = conclude(probing, () => true);
        if (end.kind !== 'open') {
          expect(end.left.map(({ suspect }) => suspect.cause.id)).not.toContain('healthy');
          const wrong = probing.taken.filter(({ probe, reading }) => {
            const right = metering.good.get(probe.id);
            return right !== undefined && reading.kind === 'number' && isWrong(right, reading.value);
          });
          expect(wrong.length).toBeGreaterThan(0);
          return;
        }
        const value = metering.good.get(end.next.id)?.reading.shown(faults) ?? Number.NaN;
        probing = withReading(probing, end.next, { kind: 'number', value });
      }
      throw new Error('no end');
    },
  );
});

describe('a relay alone, its coil fed through a lamp', () => {
  const unit = loadUnit('mini-changeover-alone');
  const readings = lampReadings(unit);
  const shown = (id: string, fault?: string): number => {
    const reading = readings.find((each) => each.id === id);
    if (reading === undefined) throw new Error(`no reading ${id}`);
    return reading.shown(fault === undefined ? [] : [faultById(unit, fault)]);
  };

  it('divides the supply between lamp and coil, by Ohm’s law', () => {
    // 12.6 V behind 0.05 Ohm, a lamp of 29 Ohm, and 85 Ohm of coil beside a suppression resistor or none.
    const coilOhm = shown('k1 85 86');
    expect(shown('fed k1 86 86 85')).toBeCloseTo((12.6 * coilOhm) / (coilOhm + 29.05), 1);
  });

  it('closes 30 to 87 and opens 30 to 87a when its coil is fed', () => {
    expect(shown('fed k1 86 30 87')).toBeLessThan(0.2);
    expect(shown('fed k1 86 30 87a')).toBe(Number.POSITIVE_INFINITY);
  });

  it('shows a stuck armature, and a contact that does not close, which no meter sees without the coil fed', () => {
    expect(shown('fed k1 86 30 87', 'k1-no-transfer')).toBe(Number.POSITIVE_INFINITY);
    expect(shown('fed k1 86 30 87', 'k1-make-open')).toBe(Number.POSITIVE_INFINITY);
    expect(shown('k1 30 87a', 'k1-no-transfer')).toBeLessThan(0.2);
  });
});

describe('a unit of 24 V', () => {
  /** Twice the voltage and the same watts: coils and lamp of four times the ohms. */
  const of24V = (id: string): ResolvedUnit => {
    const { relay: rated, motor, ...unit } = loadUnit(id);
    if (rated === undefined) throw new Error(`${id} has no relay`);
    const relay = { ...rated, ...plainValues(rated) };
    const times = (value: number, by: number): number => by * value;
    const coil = {
      nominalVoltageV: 24,
      coilResistanceOhm: times(relay.coilResistanceOhm, 4),
      coilInductanceH: times(relay.coilInductanceH, 4),
      pullInVoltageV: times(relay.pullInVoltageV, 2),
      dropOutVoltageV: times(relay.dropOutVoltageV, 2),
    };
    return { ...unit, motor: { ...motor, nominalVoltageV: 24 }, relay: { ...relay, ...coil } };
  };

  it('is fed with 24 V through a lamp for 24 V, by Ohm’s law', () => {
    const unit = of24V('mini-changeover-alone');
    const readings = lampReadings(unit);
    const shown = (id: string): number => readings.find((each) => each.id === id)?.shown([]) ?? Number.NaN;
    const coilOhm = shown('k1 85 86');
    // 25.2 V behind 0.05 Ohm; 5 W at 24 V are 115 Ohm (P = U squared over R), 116 as four times the 29 of 12 V.
    expect(shown('fed k1 86 86 85')).toBeCloseTo((25.2 * coilOhm) / (coilOhm + 116.05), 1);
    expect(shown('fed k1 86 30 87')).toBeLessThan(0.2);
    expect(lampSystemOf(unit)).toBe(24);
    expect(rulesOf(unit, 'lamp').join(' ')).toMatch(/a supply of 24 V .* The lamp is of 24 V, 5 W/);
  });

  it('shows twice the volts of the same harness at 12 V, and what it shows of faults', () => {
    const [single, double] = [loadUnit('entry-step-relays'), of24V('entry-step-relays')];
    const [at12V, at24V] = [lampReadings(single), lampReadings(double)];
    const fault = faultById(single, 'k1-no-transfer');
    let live = 0;
    for (const [i, { id, shown }] of at12V.entries())
      for (const faults of [[], [fault]]) {
        const [volts, doubled] = [shown(faults), at24V[i]?.shown(faults)];
        if (volts > 10) live += 1;
        // Shunt and fuse of the coil feed stay as they are and drop half as much of half the current: 3 % at 12 V.
        expect(doubled, id).toBeGreaterThan(1.97 * volts - 0.1);
        expect(doubled, id).toBeLessThan(2.06 * volts + 0.1);
      }
    expect(live).toBeGreaterThan(10);
    expect(rulesOf(double, 'lamp').join(' ')).toMatch(/a supply of 24 V .* The lamp is of 24 V, 21 W/);
    expect(rulesOf(single, 'lamp').join(' ')).toMatch(/a supply of 12 V .* The lamp is of 12 V, 21 W/);
  });
});
