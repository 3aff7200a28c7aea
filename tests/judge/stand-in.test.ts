// What was not on the bench is not judged: a run over the rig's stand-in accuses no switch, says that it was not tested, and
// finds what is wrong with harness and motor as ever.

import { describe, expect, it } from 'vitest';
import { drawInput, seededRandom } from '../../host/circuit/index.js';
import { type Judgement, judge, judgementJson } from '../../host/judge/index.js';
import type { ResolvedUnit } from '../../host/profile/index.js';
import { judgementRecord } from '../../host/records/index.js';
import { withFaults } from '../circuit/with-faults.js';
import { withPressedClips } from '../profile/clips-pressed.js';
import { knownUnit } from '../profile/known-unit.js';
import { benchRun } from './bench.js';
import { expectationOf } from './known-expectations.js';

const SEED = 8111;

function judged(unit: ResolvedUnit, fault?: string, seed = SEED): Judgement {
  const input = withFaults(drawInput(unit, seededRandom(seed)), ...(fault === undefined ? [] : [fault]));
  const { capture, stop } = benchRun(unit, input, { seed });
  return judge({ unit, capture, expectation: expectationOf(unit, 30), stop });
}

const saidOf = ({ sentence, checks, findings }: Judgement): string[] => [
  sentence.replace('The switch itself was not tested.', ''),
  ...checks.filter(({ kind }) => kind.id !== 'switch-itself').map((check) => check.sentence),
  ...findings.flatMap((found) => [found.sentence, found.nextProbe, ...(found.proof ?? [])]),
];

describe.each(['roof-vent-stand-in', 'switch-harness-load-stand-in'])(`%s, seed ${SEED}`, (id) => {
  const unit = knownUnit(id);

  it('passes when good, and says that the switch itself was not tested', () => {
    const run = judged(unit);
    expect(run.verdict, run.sentence).toBe('pass');
    expect(run.sentence).toMatch(/The switch itself was not tested\.$/);
    expect(run.checks.find(({ kind }) => kind.id === 'switch-itself')).toMatchObject({
      outcome: 'not-tested',
      required: false,
    });
    const told = [
      { id: 'switch', title: 'switch' },
      { id: 'jumper-a1-b2', title: 'jumper a1-b2' },
      { id: 'jumper-a2-b1', title: 'jumper a2-b1' },
    ];
    expect(judgementJson(run).notOnBench).toEqual(told);
    expect(judgementRecord(run).notOnBench).toEqual(told);
  });

  it.each(['feed-open', 'ground-resistance', 'lead-a-open', 'motor-leads-exchanged'])(
    'fails for what is wrong with the harness, and no sentence accuses the switch: %s',
    (fault) => {
      const run = judged(withPressedClips(unit), fault);
      expect(run.verdict, run.sentence).toBe('fail');
      const [first] = run.findings;
      expect([first?.id, ...(first?.inseparable ?? [])]).toContain(fault);
      expect(run.sentence).toMatch(/The switch itself was not tested\.$/);
      expect(saidOf(run).filter((sentence) => /switch|jumper/i.test(sentence))).toEqual([]);
    },
  );

  it.each(['switch-pole-1-a1-open', 'jumper-a2-b1-open', 'switch-pole-2-a2-burnt'])(
    "fails nobody for the stand-in's own fault: %s",
    (fault) => {
      const run = judged(unit, fault);
      expect(run.verdict, run.sentence).toBe('cannot-tell');
      expect(saidOf(run).filter((sentence) => /switch|jumper/i.test(sentence))).toEqual([]);
    },
  );
});

describe('the same unit thrown by hand', () => {
  it.each(['jumper-a2-b1-missing', 'switch-pole-1-a1-open'])('has its switch judged: %s', (fault) => {
    const run = judged(knownUnit('roof-vent-switch'), fault);
    expect(run.verdict).toBe('fail');
    expect(run.findings[0]?.id).toBe(fault);
    expect(judgementJson(run)).not.toHaveProperty('notOnBench');
  });
});
