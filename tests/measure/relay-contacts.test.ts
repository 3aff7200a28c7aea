// Contacts of a relay: times by both definitions, bounce, gap, weld, and the drop under load. Instants and resistances
// are given, readings are held against them.

import { describe, expect, it } from 'vitest';
import { measureRelay } from '../../host/measure/index.js';
import { loadRig } from '../../host/profile/index.js';
import { CONTACTS, type CoilTruth, type ContactTruth, relayRun } from './relay-closed-form.js';

const COIL: CoilTruth = { supplyV: 13, windingOhm: 85, inductanceH: 0.3, pathOhm: 2.3, testOhm: 150 };
const RIG = loadRig('reference-rig');
const BENCH = {
  coilPath: { ohm: 2.3, standardUncertainty: 0.1 },
  coilTest: { ohm: 150, standardUncertainty: 0.5 },
};
const read = (contact: Partial<ContactTruth>, run: Partial<Parameters<typeof relayRun>[2]> = {}) =>
  measureRelay(
    relayRun(COIL, { ...CONTACTS, ...contact }, { rateHz: 5000, cycles: 5, seed: 7, ...run }),
    BENCH,
  );

describe('times of the contacts at 5 kHz', () => {
  // Operate: coil on to first closure of the make contact; release: coil off to first reclosure of the break contact,
  // bounce excluded (Panasonic, "Relay terminology: electrical performance"); tnlab.org ends release at the opening of the
  // make contact: both instants are told.
  it('operate ends at the first closure, release is told to the opening and to the reclosure', () => {
    const { measured } = read({
      operateS: [0.0051, 0.0059, 0.0064, 0.0069, 0.0077, 0.0081],
      releaseS: [0.0034, 0.0043, 0.0047, 0.0051],
    });
    expect(Math.abs(measured.operateS!.value - 0.0059)).toBeLessThan(0.00012);
    expect(Math.abs(measured.operateOpensS!.value - 0.0051)).toBeLessThan(0.00012);
    expect(Math.abs(measured.releaseOpensS!.value - 0.0034)).toBeLessThan(0.00012);
    expect(Math.abs(measured.releaseS!.value - 0.0043)).toBeLessThan(0.00012);
    expect(Math.abs(measured.operateGapS!.value - 0.0008)).toBeLessThan(0.00015);
    expect(Math.abs(measured.releaseGapS!.value - 0.0009)).toBeLessThan(0.00015);
    // From first to last closing (IEC 61810-1, time diagram; value from memory).
    expect(Math.abs(measured.makeBounceS!.value - 0.0022)).toBeLessThan(0.00025);
    expect(Math.abs(measured.breakBounceS!.value - 0.0008)).toBeLessThan(0.00025);
  });

  // One relay measured with both: opening after 2.6 ms with 680 Ohm, 8 ms with a diode, 2 ms of bounce on release with it
  // (electro-tech-online.com, thread 167257).
  it.each([
    ['680 Ohm', 0.0026, 0.0034, 0],
    ['a diode', 0.008, 0.0095, 0.002],
  ])('a published release with %s is read back', (_, opensS, closesS, bounceS) => {
    const bounce = bounceS === 0 ? [] : [closesS + 0.4 * bounceS, closesS + bounceS];
    const { measured } = read({ releaseS: [opensS, closesS, ...bounce] });
    expect(Math.abs(measured.releaseOpensS!.value - opensS)).toBeLessThan(0.00012);
    expect(Math.abs(measured.releaseS!.value - closesS)).toBeLessThan(0.00012);
    expect(Math.abs(measured.breakBounceS!.value - bounceS)).toBeLessThan(0.00025);
    expect(measured.cyclesLetGo!.value).toBe(5);
  });

  it('a faster capture reads times five times as closely: 25 kHz', () => {
    const { measured } = read({ operateS: [0.00513, 0.00588] }, { rateHz: 25_000, cycles: 1 });
    expect(Math.abs(measured.operateS!.value - 0.00588)).toBeLessThan(0.00003);
    expect(measured.operateS!.expandedUncertainty).toBeLessThan(0.00006);
  });

  it('no gap at all is read as less than one sample, never as a good one', () => {
    const { measured } = read({ operateS: [0.0055, 0.0055], releaseS: [0.0035, 0.0035] });
    for (const gap of [measured.operateGapS!, measured.releaseGapS!]) {
      expect(gap.value - gap.expandedUncertainty).toBeLessThanOrEqual(0);
      expect(gap.value + gap.expandedUncertainty).toBeLessThan(0.0003);
    }
  });

  // Common practice: 30-87 open within 20 ms of coil off in every cycle.
  it('a contact that opens after 25 ms did not let go in time', () => {
    const { measured } = read({ releaseS: [0.025, 0.0258] });
    expect(measured.cyclesLetGo!.value).toBe(0);
    expect(measured.cyclesReturned!.value).toBe(5);
  });

  it('a weld carries on: nothing let go, nothing at rest', () => {
    const { measured, cycles } = read({ operateS: [], releaseS: [] });
    // The closed form holds the contact that was closed: at rest 30-87a, which never lets go.
    expect(cycles.map(({ on }) => on)).toEqual(Array(5).fill('rest'));
    expect(measured.cyclesOperated!.value).toBe(0);
    expect(measured.operateS).toBeUndefined();
  });
});

const COUNT_V = 30 / 1024;
const NOISY = { leadStepV: COUNT_V, leadNoiseV: 0.6 * COUNT_V };

describe('contact drop', () => {
  it('cancels offsets and gains of the two dividers against the zero without load', () => {
    const { measured } = measureRelay(
      relayRun(COIL, CONTACTS, {
        rateHz: 5000,
        cycles: 5,
        seed: 8,
        leadGain: [1.003, 0.996],
        leadOffsetV: [0.03, -0.02],
      }),
      { ...BENCH, rig: RIG },
    );
    // 13 V over 4.7 Ohm and the milliohms: Ohm's law.
    expect(measured.breakTestCurrentA!.value).toBeCloseTo(13 / (4.7 + 0.0045 + 0.004), 6);
    expect(measured.makeTestCurrentA!.value).toBeCloseTo(13 / (4.7 + 0.003 + 0.004 + 0.005), 6);
    expect(Math.abs(measured.makeResistanceOhm!.value - 0.003)).toBeLessThan(0.0001);
    expect(Math.abs(measured.breakResistanceOhm!.value - 0.0045)).toBeLessThan(0.0001);
    expect(measured.makeDropAt10AV!.value).toBeCloseTo(10 * measured.makeResistanceOhm!.value, 12);
  });

  // Sheets list 30, 50 and 100 mV at 10 A (dtsheet.com/doc/682964, 683074, 683071) and 250 mV at most (handouk.co.kr, RS).
  it.each([
    [0.003, 51],
    [0.005, 52],
    [0.01, 53],
    [0.025, 54],
  ])('%d Ohm is read through 29 mV counts within its ±, seed %d', (ohm, seed) => {
    const run = relayRun(
      COIL,
      { ...CONTACTS, makeOhm: ohm, breakOhm: ohm },
      { rateHz: 5000, cycles: 5, seed, ...NOISY },
    );
    const { measured, notes } = measureRelay(run, { ...BENCH, rig: RIG });
    for (const name of ['makeDropAt10AV', 'breakDropAt10AV'] as const) {
      const drop = measured[name]!;
      expect(Math.abs(drop.value - 10 * ohm), name).toBeLessThan(drop.expandedUncertainty);
      expect(drop.expandedUncertainty, name).toBeLessThan(0.06);
      // Far below one count at 2.7 A, and told no better than the converter's own steps allow.
      expect(drop.expandedUncertainty, name).toBeGreaterThan(0.005);
    }
    expect(notes.filter((note) => /below one count/.test(note))).toEqual([]);
  });

  it('without noise nothing averages below a count, and it says so', () => {
    const run = relayRun(COIL, CONTACTS, { rateHz: 5000, cycles: 5, seed: 55, leadStepV: COUNT_V });
    const { measured, notes } = measureRelay(run, { ...BENCH, rig: RIG });
    // Rounding of four means, each a rectangle one count wide (GUM F.2.2.1).
    expect(measured.makeDropV!.standardUncertainty).toBeGreaterThan((2 * COUNT_V) / Math.sqrt(12) - 1e-6);
    expect(notes.some((note) => /too small to average below one count of 29 mV/.test(note))).toBe(true);
  });
});
