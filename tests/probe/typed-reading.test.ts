// What people type for a reading: numbers with and without unit, open, yes and no; the rest gets one clear line.

import { describe, expect, it } from 'vitest';
import { type Probe, typedReading } from '../../host/probe/index.js';

const asking = (takes: Probe['takes']): Probe => ({
  ...{ id: 'any', does: 'meter', where: [], state: 'thrown', costMin: 1, takes, words: 'Any' },
  expect: () => ({ value: 0 }),
});
const volts = asking({ kind: 'number', range: 'volts' });
const ohms = asking({ kind: 'number', range: 'ohms' });
const diode = asking({ kind: 'number', range: 'diode' });
const question = asking({ kind: 'answer' });

describe('a typed reading', () => {
  it.each([
    ['11.8 V', volts, 11.8],
    ['11.8', volts, 11.8],
    ['-0.4v', volts, -0.4],
    ['350 mV', volts, 0.35],
    ['85 Ohm', ohms, 85],
    ['85 Ω', ohms, 85],
    ['2.2 kΩ', ohms, 2200],
    ['1.5k', ohms, 1500],
    ['1k2', ohms, 1200],
    ['4R7', ohms, 4.7],
    ['1.2 MOhm', ohms, 1.2e6],
    ['0.8M', ohms, 8e5],
    ['300 mOhm', ohms, 0.3],
    ['300 mΩ', ohms, 0.3],
    ['0L', ohms, Number.POSITIVE_INFINITY],
    ['open', ohms, Number.POSITIVE_INFINITY],
    ['OL', ohms, Number.POSITIVE_INFINITY],
    ['OL', diode, Number.POSITIVE_INFINITY],
    ['.65 V', diode, 0.65],
  ])('%s is understood', (text, probe, value) => {
    const typed = typedReading(text, probe);
    expect(typed).toMatchObject({ reading: { kind: 'number' } });
    if ('reading' in typed && typed.reading.kind === 'number')
      expect(typed.reading.value).toBeCloseTo(value, 9);
  });

  it.each([
    ['yes', true],
    ['Y', true],
    ['no', false],
    ['n', false],
  ])('%s answers a question', (text, yes) => {
    expect(typedReading(text, question)).toEqual({ reading: { kind: 'answer', yes } });
  });

  it.each([
    ['0,4 V', volts, '"0,4 V" has a comma: write 0.4 V, with a point'],
    ['12 Ohm', volts, '"12 Ohm" is not in volts: type volts, such as 11.8 V'],
    ['11.8 V', ohms, '"11.8 V" is not in ohms: type ohms, such as 85 Ohm, or open'],
    ['3 bananas', ohms, '"3 bananas" has a unit that is not known here: type ohms, such as 85 Ohm, or open'],
    ['0.4 m', ohms, '"0.4 m" has a unit that is not known here: type ohms, such as 85 Ohm, or open'],
    ['beep', ohms, '"beep" is no reading: type ohms, such as 85 Ohm, or open'],
    ['open', volts, '"open" is no voltage: type volts, such as 11.8 V'],
    ['yes', volts, '"yes" is no reading: type volts, such as 11.8 V'],
    ['-3 Ohm', ohms, '"-3 Ohm" is less than nothing: type ohms, such as 85 Ohm, or open'],
    ['1180', volts, '"1180" is more than this bench has: type volts, such as 11.8 V'],
    ['12.3 V', diode, '"12.3 V" is more than the diode range shows: type volts, such as 0.65 V, or open'],
    ['perhaps', question, '"perhaps" is no answer: type yes or no'],
    ['', volts, '"" is no reading: type volts, such as 11.8 V'],
  ])('%j gets one clear line', (text, probe, wrong) => {
    expect(typedReading(text, probe)).toEqual({ wrong });
  });
});
