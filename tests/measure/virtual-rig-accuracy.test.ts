// A few motors of `npm run accuracy` in the suite: firmware on the emulated board, ten bits, noise, gain, offset and clock
// errors. With so few, only what no honest interval would miss is asserted; the shares of 200 motors are the script's.

import { beforeAll, describe, expect, it } from 'vitest';
import { addRun, coverageOf, emptyTable, type Row, relativeErrors } from '../accuracy/measure-table.js';
import { randomMotor } from '../accuracy/random-motor.js';
import { watchedRun } from '../accuracy/watched-run.js';

const SEED = 31;
/** One of each style. */
const MOTORS = 5;
const table = emptyTable();

beforeAll(async () => {
  for (let index = 0; index < MOTORS; index++) {
    const motor = randomMotor(SEED, index);
    addRun(table, motor, await watchedRun(motor.unit, motor.virtualCase, motor.seed), `motor ${index}`);
  }
}, 120_000);

const rowOf = (name: string): Row => {
  const row = table.rows.get(name);
  if (!row) throw new Error(`${name} was not measured`);
  return row;
};

describe(`${MOTORS} random motors on the virtual rig, seed ${SEED}`, () => {
  it.each([
    ['model.resistanceOhm', 0.04],
    ['model.backEmfVsPerRad', 0.03],
    ['model.coulombNm', 0.08],
    ['InrushPeakA', 0.03],
    ['SpeedRpm', 0.01],
  ])('tell %s within a part of %f', (name, part) => {
    expect(relativeErrors(rowOf(name)).at(-1)).toBeLessThan(part);
  });

  it('tell the running current within 2 % or two counts', () => {
    const { errors, truths } = rowOf('RunningCurrentA');
    errors.forEach((error, k) => {
      expect(Math.abs(error)).toBeLessThan(Math.max(0.02 * truths[k]!, 2 * 0.078125));
    });
  });

  it('tell every release', () => {
    expect(table.wrong).toEqual([]);
    expect(table.releases).toBe(2 * MOTORS);
  });

  it('hold the truth of all quantities together in most of the stated 95 % intervals', () => {
    const rows = [...table.rows.values()];
    const all = rows.reduce((sum, { errors }) => sum + errors.length, 0);
    const held = rows.reduce((sum, row) => sum + coverageOf(row) * row.errors.length, 0);
    expect(all).toBeGreaterThan(300);
    // Quantities of one run share its gains and offsets: 95 % is not to be expected of so few runs, 85 % is.
    expect(held / all).toBeGreaterThan(0.85);
    // The largest error of any, in its own deviations: no interval is far too narrow.
    for (const { name, errors, stated } of rows)
      errors.forEach((error, k) => {
        expect(Math.abs(error) / stated[k]!, name).toBeLessThan(6);
      });
  });
});
