// Temperatures, wire sizes and days in the forms that a workshop settles.

import { afterEach, describe, expect, it } from 'vitest';
import {
  awgAreaMm2,
  celsius,
  DATE_FORMS,
  dayTime,
  type Forms,
  fahrenheit,
  PLAIN_FORMS,
  retold,
  settleForms,
  shownDay,
  shownMonth,
  temperature,
  temperatureBand,
  typedDay,
  universalTime,
  wireSize,
} from '../../host/tell/index.js';

const settled = (forms: Partial<Forms>): void => settleForms({ ...PLAIN_FORMS, ...forms });
afterEach(() => settleForms(PLAIN_FORMS));

describe('temperatures', () => {
  // Fixed points of NIST SP 811 (2008), B.8: water freezes at 32 °F and boils at 212 °F; both scales meet at -40.
  it.each([
    [0, 32],
    [25, 77],
    [100, 212],
    [-40, -40],
  ])('%f °C are %f °F, there and back', (degreesC, degreesF) => {
    expect(fahrenheit(degreesC)).toBeCloseTo(degreesF, 9);
    expect(celsius(degreesF)).toBe(degreesC);
  });

  it('are told in °C until °F is settled, a half width by nine fifths alone', () => {
    expect([temperature(25), temperatureBand(20, 3)]).toEqual(['25 °C', '20 °C ± 3 °C']);
    settled({ temperature: 'F' });
    expect([temperature(25), temperature(36.6, 1)]).toEqual(['77 °F', '97.9 °F']);
    expect(temperatureBand(20, 3)).toBe('68 °F ± 5.4 °F');
    expect(temperatureBand(20, 20)).toBe('68 °F ± 36 °F');
  });

  it.each([
    ['Limits hold for a coil of 0 to 40 °C.', 'Limits hold for a coil of 32 to 104 °F.'],
    ['it is -5 °C, and they are of 18 to 22 °C', 'it is 23 °F, and they are of 64 to 72 °F'],
    ['ambient 20 ± 5 °C', 'ambient 68 ± 9 °F'],
    ['resistance at 25 °C', 'resistance at 77 °F'],
    ['97.5 °C in the winding', '207.5 °F in the winding'],
    ['Lead A, forward: 2.1 V, a good unit 0.1 V.', 'Lead A, forward: 2.1 V, a good unit 0.1 V.'],
  ])('in a sentence of the record are told anew, the rest as it stands: %s', (kept, told) => {
    expect(retold(kept)).toBe(kept);
    settled({ temperature: 'F' });
    expect(retold(kept)).toBe(told);
  });
});

describe('sizes of wires', () => {
  // Cross-sections as published tables by ASTM B258 print them, mm2; values from memory.
  it.each([
    [-3, 107.2],
    [0, 53.49],
    [10, 5.261],
    [14, 2.081],
    [18, 0.8231],
    [20, 0.518],
    [24, 0.2047],
  ])('AWG %i has %f mm², to the digits of the table', (awg, areaMm2) => {
    expect(Math.abs(awgAreaMm2(awg) / areaMm2 - 1)).toBeLessThan(0.001);
  });

  it('are told as they were stated until a unit is settled', () => {
    expect([wireSize({ areaMm2: 2.5 }), wireSize({ awg: 14 }), wireSize({ awg: -1 })]).toEqual([
      ...['2.5 mm²', 'AWG 14', 'AWG 2/0'],
    ]);
    settled({ wire: 'mm2' });
    expect([wireSize({ areaMm2: 2.5 }), wireSize({ awg: 14 })]).toEqual(['2.5 mm²', '2.08 mm²']);
  });

  it.each([
    [2.081, 'AWG 14'],
    [2.5, 'about AWG 13 (thinner)'],
    [1.5, 'about AWG 15 (thinner)'],
    [6, 'about AWG 9 (thinner)'],
    [4, 'about AWG 11 (thinner)'],
    [35, 'about AWG 2 (thicker)'],
    [53.49, 'AWG 0'],
    [120, 'about AWG 4/0 (thicker)'],
  ])('%f mm² is %s, the nearest gauge and which way the wire differs', (areaMm2, told) => {
    settled({ wire: 'AWG' });
    expect(wireSize({ areaMm2 })).toBe(told);
    expect(wireSize({ awg: 14 })).toBe('AWG 14');
  });
});

describe('days', () => {
  it.each([
    ['YYYY-MM-DD', '2026-11-30', '2026-11', '2026-11-30T08:01:02Z'],
    ['DD.MM.YYYY', '30.11.2026', '11.2026', '30.11.2026 08:01:02Z'],
    ['DD/MM/YYYY', '30/11/2026', '11/2026', '30/11/2026 08:01:02Z'],
    ['MM/DD/YYYY', '11/30/2026', '11/2026', '11/30/2026 08:01:02Z'],
  ] as const)('are told as %s', (date, day, month, universal) => {
    settled({ date });
    expect(shownDay('2026-11-30')).toBe(day);
    expect(shownMonth('2026-11')).toBe(month);
    expect(universalTime('2026-11-30T08:01:02.345Z')).toBe(universal);
    expect(dayTime(new Date(2026, 10, 30, 8, 1, 2))).toBe(`${day} 08:01:02`);
    expect(retold('in doubt: the known-load check of lead A on 2026-11-30 08:01:02 failed')).toBe(
      `in doubt: the known-load check of lead A on ${day} 08:01:02 failed`,
    );
    expect(retold('run 2026-11-30-0001')).toBe('run 2026-11-30-0001');
    expect(typedDay(day, date)).toBe('2026-11-30');
  });

  it('are taken as they can only be meant', () => {
    for (const date of DATE_FORMS) {
      expect(typedDay('2026-11-30', date)).toBe('2026-11-30');
      expect(typedDay('3.2.2026', date)).toBe('2026-02-03');
      for (const none of ['2026-11-31', '31.11.2026', '2026-1-3', 'yesterday', ''])
        expect(typedDay(none, date)).toBeUndefined();
    }
    expect(typedDay('03/02/2026', 'YYYY-MM-DD')).toBeUndefined();
    expect(typedDay('03/02/2026', 'DD/MM/YYYY')).toBe('2026-02-03');
    expect(typedDay('03/02/2026', 'MM/DD/YYYY')).toBe('2026-03-02');
  });
});
