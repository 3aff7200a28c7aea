// The ambient of the day narrows a unit's temperature spread, and nothing but degrees Celsius is taken.

import { describe, expect, it } from 'vitest';
import { drawInput, seededRandom } from '../../host/circuit/index.js';
import { UsageError } from '../../host/commands/command.js';
import { unitAsRun } from '../../host/commands/unit-as-run.js';
import { loadUnit } from '../../host/profile/index.js';

const unit = loadUnit('entry-step-relays');
const SEED = 41;

describe('--ambient-c', () => {
  it(`puts every draw within a few degrees of what the thermometer said, draws of seed ${SEED}`, () => {
    const told = unitAsRun(unit, { 'ambient-c': '4' });
    const random = seededRandom(SEED);
    for (let n = 0; n < 50; n++) expect(Math.abs(drawInput(told, random).temperatureC - 4)).toBeLessThan(5);
  });

  it('left out allows an unheated workshop over the year', () => {
    const { nominal, plusMinus } = unitAsRun(unit, {}).unit.temperatureC;
    expect([nominal - plusMinus, nominal + plusMinus]).toEqual([0, 40]);
  });

  it.each(['warm', '', '400', '-60'])("refuses '%s' in one line", (ambientC) => {
    expect(() => unitAsRun(unit, { 'ambient-c': ambientC })).toThrow(UsageError);
    expect(() => unitAsRun(unit, { 'ambient-c': ambientC })).toThrow(/degrees Celsius from -40 to 85/);
  });
});
