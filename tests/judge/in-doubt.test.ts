// A known-load check that stands failed: nothing passes, and what fails without the misread channel still fails.

import { describe, expect, it } from 'vitest';
import type { Channel } from '../../host/capture/index.js';
import { nominalInput } from '../../host/circuit/index.js';
import { judge } from '../../host/judge/index.js';
import type { ResolvedUnit } from '../../host/profile/index.js';
import { withFaults } from '../circuit/with-faults.js';
import { knownUnit } from '../profile/known-unit.js';
import { benchRun } from './bench.js';
import { expectationOf } from './known-expectations.js';

const UNIT = knownUnit('entry-step-relays');
const EXPECTED = expectationOf(UNIT, 40);
const SEED = 4201;

const doubting = (...channels: Channel[]): ResolvedUnit => ({
  ...UNIT,
  rig: { ...UNIT.rig, doubted: channels.map((channel) => ({ channel, sentence: `${channel} misread.` })) },
});
function told(unit: ResolvedUnit, ...faults: string[]) {
  const { capture, stop } = benchRun(UNIT, withFaults(nominalInput(UNIT), ...faults), { seed: SEED });
  return judge({ unit, capture, stop, expectation: EXPECTED });
}
const failed = (unit: ResolvedUnit, ...faults: string[]): string[] =>
  told(unit, ...faults)
    .checks.filter(({ outcome, required }) => required && outcome === 'fail')
    .map(({ id }) => id);

describe(`a run on a rig in doubt (bench ${SEED})`, () => {
  it('passes without the doubt', () => expect(told(UNIT).verdict).toBe('pass'));

  it('cannot be told when all is well, with the doubt as first reason and no cause', () => {
    const { verdict, sentence, findings } = told(doubting('motorCurrentA'));
    expect(verdict).toBe('cannot-tell');
    expect(sentence).toMatch(/^motorCurrentA misread\./);
    expect(findings).toEqual([]);
  });

  it.each(['lead-a-open', 'motor-leads-exchanged', 'lead-a-shorted-to-ground', 'trigger-forward-open'])(
    'still fails for %s, whatever channel is in doubt, and tells the cause first',
    (fault) => {
      for (const channel of ['motorCurrentA', 'leadAVoltageV', 'leadBVoltageV'] as const) {
        const { verdict, sentence, checks } = told(doubting(channel), fault);
        expect(verdict, channel).toBe('fail');
        expect(sentence, channel).not.toMatch(/^\w+ misread/);
        expect(checks[0]?.id).toBe('rig-in-doubt');
      }
    },
  );

  it('fails for a motor that draws too much only where no current or supply is in doubt', () => {
    expect(failed(UNIT, 'motor-gearbox-bound')).toContain('running-forward');
    expect(failed(doubting('coilCurrentA'), 'motor-gearbox-bound')).toContain('running-forward');
    expect(failed(doubting('motorCurrentA'), 'motor-gearbox-bound')).toEqual([]);
    expect(told(doubting('motorCurrentA'), 'motor-gearbox-bound').verdict).toBe('cannot-tell');
    expect(failed(doubting('supplyVoltageV'), 'motor-gearbox-bound')).not.toContain('running-forward');
  });
});
