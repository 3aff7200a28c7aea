// Coil of a relay from its current: resistance, inductance, what lies across it, temperature. Closed forms of the
// first-order RL circuit, published coils, and a SPICE engine.

import { describe, expect, it } from 'vitest';
import { measureRelay } from '../../host/measure/index.js';
import { itTakesLong } from '../mutation/long.js';
import { runSpice } from '../references/circuit-spice/engine.js';
import { CONTACTS, type CoilTruth, relayRun } from './relay-closed-form.js';

const BENCH = {
  coilPath: { ohm: 2.3, standardUncertainty: 0.1 },
  coilTest: { ohm: 150, standardUncertainty: 0.5 },
  temperatureC: { nominal: 20, plusMinus: 5 },
};
const coil = (change: Partial<CoilTruth> = {}): CoilTruth => ({
  supplyV: 13,
  windingOhm: 80,
  inductanceH: 0.3,
  pathOhm: 2.3,
  testOhm: 150,
  ...change,
});
const RUN = { rateHz: 5000, cycles: 3, coilNoiseA: 0.0007 };

describe('coil of a relay, noise of 0.7 mA on every sample', () => {
  // Printed sheets at 20 C: 75 Ohm dtsheet.com/doc/683074; 100 Ohm dtsheet.com/doc/683071; 260 Ohm dtsheet.com/doc/682964.
  it.each([75, 100, 260])('bare winding of %d Ohm reads as such within its ±, seed 11', (windingOhm) => {
    const { measured, suppression } = measureRelay(
      relayRun(coil({ windingOhm }), CONTACTS, { ...RUN, seed: 11 }),
      BENCH,
    );
    const read = measured.coilResistanceOhm!;
    expect(Math.abs(read.value - windingOhm)).toBeLessThan(read.expandedUncertainty);
    expect(read.expandedUncertainty).toBeLessThan(0.02 * windingOhm);
    expect(measured.windingResistance20COhm!.value).toBeCloseTo(read.value, 9);
    expect(suppression.kind).toBe('none');
  });

  it('80 Ohm beside 680 Ohm reads 71.6 Ohm, and both are told apart (micro relay, fooclesmod.com/?p=22940), seed 12', () => {
    const run = relayRun(coil({ acrossOhm: 680 }), CONTACTS, { ...RUN, seed: 12 });
    const { measured, suppression } = measureRelay(run, BENCH);
    expect(Math.abs(measured.coilResistanceOhm!.value - 71.6)).toBeLessThan(0.4);
    if (suppression.kind !== 'resistor') throw new Error(`read as ${suppression.kind}`);
    expect(Math.abs(suppression.ohm - 680)).toBeLessThan(2 * suppression.standardUncertainty);
    expect(suppression.standardUncertainty).toBeLessThan(0.15 * 680);
    expect(Math.abs(measured.windingResistanceOhm!.value - 80)).toBeLessThan(
      measured.windingResistanceOhm!.expandedUncertainty,
    );
  });

  // Resistors that relay makers fit: 180 to 1000 Ohm; seeds 20 and on.
  it.each([180, 270, 470, 680, 1000])('a resistor of %d Ohm across the coil is found', (acrossOhm) => {
    const { suppression } = measureRelay(
      relayRun(coil({ acrossOhm }), CONTACTS, { ...RUN, seed: 20 + acrossOhm }),
      BENCH,
    );
    if (suppression.kind !== 'resistor') throw new Error(`read as ${suppression.kind}`);
    expect(Math.abs(suppression.ohm - acrossOhm)).toBeLessThan(2.5 * suppression.standardUncertainty);
  });

  it('inductance within 2 % of 0.2, 0.3 and 0.45 H, seeds 31, 32, 33', () => {
    for (const [seed, inductanceH] of [
      [31, 0.2],
      [32, 0.3],
      [33, 0.45],
    ] as const) {
      const { measured } = measureRelay(relayRun(coil({ inductanceH }), CONTACTS, { ...RUN, seed }), BENCH);
      expect(Math.abs(measured.coilInductanceH!.value / inductanceH - 1), `seed ${seed}`).toBeLessThan(0.02);
    }
  });

  it('a diode that conducts with plus on 85 has its anode there; exchanged clips the other way, seed 41', () => {
    const run = relayRun(coil(), CONTACTS, { ...RUN, seed: 41, diode: { forwardV: 0.7 } });
    expect(measureRelay(run, BENCH).suppression).toEqual({ kind: 'diode', anodeAt: '85' });
  });

  it('without the exchanged stretch a bare coil may hide a diode: unknown, with the reason, seed 42', () => {
    const run = relayRun(coil(), CONTACTS, { ...RUN, seed: 42 });
    const lastOn = run.position.lastIndexOf('forward') + Math.round(0.35 * RUN.rateHz);
    const cut = {
      ...run,
      timeS: run.timeS.slice(0, lastOn),
      position: run.position.slice(0, lastOn),
      channels: Object.fromEntries(
        Object.entries(run.channels).map(([name, values]) => [name, values.slice(0, lastOn)]),
      ),
    };
    const { suppression } = measureRelay(cut, BENCH);
    expect(suppression).toMatchObject({ kind: 'unknown' });
    if (suppression.kind === 'unknown') expect(suppression.why).toMatch(/85 and 86 were not exchanged/);
  });

  it('113 Ohm at 85 C are 90 Ohm at 20 C (copper, IEC 60028: factor 1.25545), seed 43', () => {
    const run = relayRun(coil({ windingOhm: 90 * 1.25545 }), CONTACTS, { ...RUN, seed: 43 });
    const { measured } = measureRelay(run, { ...BENCH, temperatureC: { nominal: 85, plusMinus: 1 } });
    expect(Math.abs(measured.coilResistanceOhm!.value - 113)).toBeLessThan(1);
    expect(Math.abs(measured.windingResistance20COhm!.value - 90)).toBeLessThan(0.8);
    expect(measured.windingResistance25COhm!.value / measured.windingResistance20COhm!.value).toBeCloseTo(
      1 + 0.00393 * 5,
      9,
    );
  });
});

describe('coil of a relay simulated by the SPICE engine', () => {
  itTakesLong(
    'reads 85 Ohm, 0.3 H and 680 Ohm back, sampled at 5 kHz between the instants of switching',
    async () => {
      const onS = 0.0201;
      const result = await runSpice(
        [
          'relay coil and resistor through a test resistor',
          `V1 in 0 PULSE(0 13 ${onS} 1u 1u 1 2)`,
          'Rpath in a 2.3',
          'Rtest a b 150',
          'Rw b c 85',
          'L1 c 0 0.3',
          'Rp b 0 680',
          '.options reltol=1e-5',
          '.save i(V1)',
          '.tran 20u 0.125 0 20u',
          '.end',
        ].join('\n'),
      );
      const currentAt = (t: number): number => {
        const { timeS } = result;
        const values = result.column('i(v1)');
        const k = Math.max(
          1,
          timeS.findIndex((at) => at >= t),
        );
        const share = (t - timeS[k - 1]!) / (timeS[k]! - timeS[k - 1]!);
        return -(values[k - 1]! + share * (values[k]! - values[k - 1]!));
      };
      const blank = relayRun(
        { supplyV: 13, windingOhm: 85, inductanceH: 0.3, acrossOhm: 680, pathOhm: 2.3, testOhm: 150 },
        CONTACTS,
        { rateHz: 5000, cycles: 2, seed: 1 },
      );
      // The test current's stretches are SPICE's; everything else stays.
      const coilA = blank.channels.coilCurrentA!;
      let from = 0;
      blank.position.forEach((position, i) => {
        if (position !== 'reverse') from = i + 1;
        else coilA[i] = currentAt(onS + (i - from + 0.5) / 5000);
      });
      const { measured, suppression } = measureRelay(blank, BENCH);
      if (suppression.kind !== 'resistor') throw new Error(`read as ${suppression.kind}`);
      expect(Math.abs(suppression.ohm / 680 - 1)).toBeLessThan(0.02);
      expect(Math.abs(measured.coilInductanceH!.value / 0.3 - 1)).toBeLessThan(0.01);
      expect(Math.abs(measured.markedTestOhm!.value - 1 / (1 / 85 + 1 / 680))).toBeLessThan(0.3);
    },
  );
});
