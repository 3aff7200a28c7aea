// A tired battery or thin leads: 11.3 V open and some tenths of an ohm (common practice, no source). The run reads both, so
// that they excuse nothing of the unit: its fault is named beside them, and a good unit on them is accused of nothing.

import { describe, expect, it } from 'vitest';
import { drawInput, seededRandom } from '../../host/circuit/index.js';
import { judge } from '../../host/judge/index.js';
import { withFaults } from '../circuit/with-faults.js';
import { knownUnit } from '../profile/known-unit.js';
import { benchRun } from './bench.js';
import { expectationOf } from './known-expectations.js';

const SEED = 71011;
const UNIT = knownUnit('seat-slide-relays');

function judgedOn(sourceResistanceOhm: number, ...faults: string[]) {
  const drawn = drawInput(UNIT, seededRandom(SEED));
  const soft = { ...drawn, supply: { ...drawn.supply, voltageV: 11.3, sourceResistanceOhm } };
  const input = faults.reduce((one, fault) => withFaults(one, fault), soft);
  const { capture, stop } = benchRun(UNIT, input, { seed: SEED });
  return judge({ unit: UNIT, capture, stop, expectation: expectationOf(UNIT, 40) });
}

describe(`on a supply of 11.3 V and some tenths of an ohm, drawn with seed ${SEED}`, () => {
  it.each([
    ['lead-b-lamp-feeds-back', 0.3],
    ['motor-protector-weak', 0.2],
    ['k1-make-burnt', 0.3],
  ])('%s is named on %f Ω', (fault, ohm) => {
    const { findings, verdict, sentence } = judgedOn(ohm, fault);
    expect(verdict, sentence).not.toBe('pass');
    const [first] = findings;
    expect([first?.id, ...(first?.inseparable ?? [])], sentence).toContain(fault);
  });

  it('a good unit is accused of nothing', () => {
    const { findings, verdict, sentence } = judgedOn(0.3);
    expect(verdict, sentence).not.toBe('fail');
    expect(['supply-sags', undefined], sentence).toContain(findings[0]?.id);
  });
});
