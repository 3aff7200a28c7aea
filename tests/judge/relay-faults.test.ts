// Every fault that a relay by itself can have is named first, or in the first group that reads the same, and failed where
// the rig cannot have done it; good relays of every draw, temperature and supply pass.

import { describe, expect, it } from 'vitest';
import { drawInput, faultsOf, nominalInput, seededRandom } from '../../host/circuit/index.js';
import { judge } from '../../host/judge/index.js';
import { loadUnit, type ResolvedUnit, withoutRamp } from '../../host/profile/index.js';
import { withFaults } from '../circuit/with-faults.js';
import { expectationOf } from './known-expectations.js';
import { relayBenchRun } from './relay-bench.js';

const WITH_RAMP = loadUnit('mini-changeover-alone');
const NO_RAMP: ResolvedUnit = { ...WITH_RAMP, plan: withoutRamp(WITH_RAMP.plan) };
const EXPECTED = expectationOf(NO_RAMP);
/** Told by the turning of the supply only. */
const BY_RAMP = ['k1-pull-in-high', 'k1-drop-out-low'];
/** What the profile asks for is no fault. */
const AS_IT_SHOULD_BE = ['k1-suppression-resistor'];

/** What a link, clip or ground of the rig would read as well: that is looked at before the relay fails. */
const RIG_FIRST = [
  'k1-30-87a-exchanged',
  'k1-86-87-exchanged',
  'k1-coil-open',
  'k1-no-transfer',
  'k1-make-open',
  'k1-dual-87',
  'k1-30-open',
];

const FAULTS = faultsOf(WITH_RAMP.style).map(({ id }) => id);

describe('a faulty relay', () => {
  it('can have at least thirty faults', () => expect(FAULTS.length).toBeGreaterThanOrEqual(30));

  it.each(FAULTS.filter((id) => !AS_IT_SHOULD_BE.includes(id)))(
    '%s is named, and fails unless the rig is in question, seed 91',
    (id) => {
      const driven = BY_RAMP.includes(id) ? WITH_RAMP : NO_RAMP;
      const capture = relayBenchRun(driven, withFaults(nominalInput(driven), id), 91);
      const { verdict, sentence, checks, findings } = judge({
        ...{ unit: WITH_RAMP, capture, expectation: EXPECTED },
      });
      const isRigFirst = RIG_FIRST.includes(id);
      expect(verdict, sentence).toBe(isRigFirst ? 'cannot-tell' : 'fail');
      expect(checks[0]?.id === 'rig-in-question', sentence).toBe(isRigFirst);
      const [first] = findings;
      expect([first?.id, ...(first?.inseparable ?? [])]).toContain(id);
    },
  );
});

describe('a good relay', () => {
  it('is never failed nor left open: 12 draws, 0 to 40 C, 11 to 14.5 V, seed 92', () => {
    const random = seededRandom(92);
    for (let n = 0; n < 12; n++) {
      const drawn = drawInput(NO_RAMP, random);
      const input = {
        ...drawn,
        temperatureC: 40 * random.uniform(),
        supply: { ...drawn.supply, voltageV: 11 + 3.5 * random.uniform() },
        bounceS: [0.0004, 0.0009, 0.0013, 0.0018],
      };
      const capture = relayBenchRun(NO_RAMP, input, 9200 + n);
      const { verdict, checks } = judge({ unit: NO_RAMP, capture, expectation: EXPECTED });
      const complaints = checks
        .filter(({ required, outcome }) => required && !/pass$/.test(outcome))
        .map(({ sentence }) => sentence);
      expect(complaints, `draw ${n}`).toEqual([]);
      expect(verdict, `draw ${n}`).toBe('pass');
    }
  });

  it('passes with its supply turned up and down at 0, 20 and 40 C, seed 93', () => {
    const random = seededRandom(93);
    for (const temperatureC of [0, 20, 40]) {
      const capture = relayBenchRun(WITH_RAMP, { ...drawInput(WITH_RAMP, random), temperatureC }, 93);
      const { verdict, sentence, measured } = judge({ unit: WITH_RAMP, capture, expectation: EXPECTED });
      expect(verdict, sentence).toBe('pass');
      expect(measured.pullInVoltageV!.value).toBeGreaterThan(measured.dropOutVoltageV!.value);
    }
  });

  it('without the turning of the supply pull-in is told as not tested, seed 94', () => {
    const capture = relayBenchRun(NO_RAMP, nominalInput(NO_RAMP), 94);
    const { verdict, checks } = judge({ unit: NO_RAMP, capture, expectation: EXPECTED });
    expect(verdict).toBe('pass');
    for (const id of ['pull-in', 'drop-out']) {
      expect(checks.find((check) => check.id === id)).toMatchObject({
        outcome: 'not-tested',
        required: false,
      });
    }
  });
});
