// Wire against published tables and a worked example; each number's source stands beside it.

import { describe, expect, it } from 'vitest';
import {
  gaugeWires,
  loopDropV,
  metricWires,
  smallestWire,
  wireCapacityA,
  wireOhmPerM,
} from '../../host/plan/index.js';
import { loadParts } from '../../host/profile/index.js';

const { wires } = loadParts();
const METRIC = metricWires(wires);
const GAUGES = gaugeWires(wires);

const FOOT_M = 0.3048;

describe('wire', () => {
  it.each([
    // IEC 60228:2004, plain copper class 5, most resistance at 20 C, Ohm/km.
    [0.5, 39],
    [1, 19.5],
    [2.5, 7.98],
    [6, 3.3],
  ])('of %s mm2 has the most that the standard allows, %s mOhm/m', (areaMm2, mohmPerM) => {
    expect(1000 * wireOhmPerM({ areaMm2 }, 20)).toBeCloseTo(mohmPerM, 6);
  });

  it.each([
    // HyperPhysics (Georgia State Univ.), Tables/wirega.html, Ohm per 1000 ft of solid copper at 20 C.
    [10, 0.9989],
    [16, 4.016],
    [22, 16.14],
  ])('of AWG %s is never taken for better than the printed %s Ohm a thousand feet', (awg, printed) => {
    const ohm = wireOhmPerM({ awg }, 20) * 1000 * FOOT_M;
    expect(ohm).toBeGreaterThan(printed);
    expect(ohm).toBeLessThan(1.15 * printed);
  });

  it('warms by 0.393 % a kelvin', () => {
    // IEC 60028, as IACS articles print it.
    expect(wireOhmPerM({ areaMm2: 1 }, 60) / wireOhmPerM({ areaMm2: 1 }, 20)).toBeCloseTo(
      1 + 40 * 0.00393,
      9,
    );
  });

  it.each([
    // Holland Marine catalogue, pages 52-53 (ABYC E-11 practice): 10 A, 11 ft and 10 ft of conductor, 12 V.
    [3, 10],
    [10, 16],
  ])('comes out as the worked example of a catalogue prints it at %s %%: AWG %s', (percent, awg) => {
    const need = { wireM: 21 * FOOT_M, temperatureC: 20, currentA: 10, carriesA: 10 };
    expect(smallestWire(GAUGES, { ...need, mostDropV: (12 * percent) / 100 })?.awg).toBe(awg);
  });

  it.each([
    // HyperPhysics, Tables/wirega.html, column of the most current, chassis wiring.
    [{ awg: 10 }, 55],
    [{ awg: 14 }, 32],
    [{ awg: 22 }, 7],
    // 2.5 mm2 lies between AWG 14 (2.08 mm2) and 12 (3.31 mm2): the smaller one's.
    [{ areaMm2: 2.5 }, 32],
    [{ areaMm2: 0.5 }, 7],
    [{ areaMm2: 0.2 }, 0],
  ])('%o carries %s A', (size, mostA) => {
    expect(wireCapacityA(size)).toBe(mostA);
  });

  it('is the next size up just outside, by drop and by heat', () => {
    // 1.5 mm2, 13.3 mOhm/m: 3 m out and back at 4.5 A are 0.359 V, within 3 % of 12 V; at 4.52 A 0.361 V are not.
    const need = { wireM: 6, temperatureC: 20, carriesA: 5, mostDropV: 0.36 };
    expect(loopDropV({ areaMm2: 1.5 }, need, 4.5)).toBeCloseTo(0.3591, 4);
    expect(smallestWire(METRIC, { ...need, currentA: 4.5 })?.areaMm2).toBe(1.5);
    expect(smallestWire(METRIC, { ...need, currentA: 4.52 })?.areaMm2).toBe(2.5);
    const short = { ...need, wireM: 0.2, currentA: 4.5 };
    expect(smallestWire(METRIC, { ...short, carriesA: 16 })?.areaMm2).toBe(1);
    expect(smallestWire(METRIC, { ...short, carriesA: 16.1 })?.areaMm2).toBe(1.5);
    expect(smallestWire(METRIC, { ...short, carriesA: 56 })).toBeUndefined();
  });
});
