// The band of a profile computed in threads is the band computed in one, to the last bit, and the one that judging uses.

import { expect, it } from 'vitest';
import { bandInThreads } from '../../host/bench/threads/index.js';
import { CircuitError, Draws } from '../../host/circuit/index.js';
import { expectation } from '../../host/judge/index.js';
import { plannedUnit } from '../profile/planned-unit.js';

const unit = plannedUnit('roof-vent-switch');

it.each([2, 3])('is the same from %i threads as from one, 20 draws with seed 41', (threads) => {
  const options = { draws: 20, seed: 41, sampleRateHz: 1000 };
  expect(bandInThreads(unit, options, threads)).toEqual(new Draws(unit, options).finish());
});

it('is what judging holds a run against, for as many draws', () => {
  const draws = unit.unit.rules.draws;
  expect(bandInThreads(unit, { draws })).toEqual(expectation(unit).band);
});

it('ends in one clear error when the circuit cannot be solved, with a thread as without', () => {
  const broken = { ...unit, motor: { ...unit.motor, resistanceOhm: -1 } };
  for (const threads of [1, 2]) {
    expect(() => bandInThreads(broken, { draws: 20 }, threads)).toThrow(CircuitError);
  }
});
