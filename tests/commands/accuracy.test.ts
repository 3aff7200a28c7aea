import { describe, expect, it } from 'vitest';
import { instrumentTold } from '../../host/commands/accuracy-told.js';

describe('the accuracy of an instrument on the command line', () => {
  it.each([
    [
      ['1.5 % + 20 mA'],
      { motorCurrentA: { part: 0.015, constant: 0.02 }, feedCurrentA: { part: 0.015, constant: 0.02 } },
    ],
    [['±1,5% of reading + 0.02 A'], { motorCurrentA: { part: 0.015, constant: 0.02 } }],
    [
      ['1 % + 50 mV'],
      { leadAVoltageV: { part: 0.01, constant: 0.05 }, supplyVoltageV: { part: 0.01, constant: 0.05 } },
    ],
    [
      ['2 %', 'motor=1 % + 50 mA'],
      { feedCurrentA: { part: 0.02, constant: 0 }, motorCurrentA: { part: 0.01, constant: 0.05 } },
    ],
  ])('reads %j', (told, wanted) => {
    const instrument = instrumentTold(told);
    for (const [channel, accuracy] of Object.entries(wanted))
      expect(instrument?.[channel as keyof typeof instrument]).toEqual({
        part: expect.closeTo(accuracy.part, 12) as number,
        constant: expect.closeTo(accuracy.constant, 12) as number,
      });
  });

  it('leaves voltages out where amperes are told', () => {
    expect(instrumentTold(['1.5 % + 20 mA'])?.leadAVoltageV).toBeUndefined();
  });

  it.each([
    ['good', /should be such as "1\.5 % \+ 20 mA"/],
    ['200 %', /should be such as/],
    ['lamp=1 %', /lamp should be motor, feed, coil/],
    ['motor=1 % + 20 mV', /gives V to a channel in A/],
  ])('refuses %s', (told, message) => {
    expect(() => instrumentTold([told])).toThrow(message);
  });
});
