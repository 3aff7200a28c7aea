// Faults that set in during a run: a relay held in from a throw on, one that drops out by itself, a joint that opens when
// warm. The circuit is changed at an instant of the run; nothing here is simulated the way the causes are. Which
// faults come in use is common practice, no source.

import { describe, expect, it } from 'vitest';
import { type Netlist, nominalInput, type ScheduleEntry } from '../../host/circuit/index.js';
import { toldSince } from '../../host/diagnose/sets-in.js';
import { judge } from '../../host/judge/index.js';
import { runStretch } from '../../host/measure/index.js';
import { LEAD_IN_S } from '../../host/profile/index.js';
import { benchRun } from '../judge/bench.js';
import { expectationOf } from '../judge/known-expectations.js';
import { knownUnit } from '../profile/known-unit.js';

const SEED = 5119;
const UNIT = knownUnit('entry-step-relays');

/** First throw forward at the full feed. */
const FORWARD = (() => {
  let atS = LEAD_IN_S;
  for (const { position, feed, durationS } of UNIT.plan.steps) {
    if (position === 'forward' && feed === 'full') return { fromS: atS, toS: atS + durationS };
    atS += durationS;
  }
  throw new RangeError('the plan throws nothing forward');
})();

const IDEAL = { contactResistanceOhm: 0.01, closeDelayS: 0, openDelayS: 0 } as const;

function told(edit: (netlist: Netlist) => Netlist, schedule: readonly ScheduleEntry[]) {
  const run = benchRun(UNIT, nominalInput(UNIT), { seed: SEED, intermittent: { edit, schedule } });
  return judge({ unit: UNIT, capture: run.capture, stop: run.stop, expectation: expectationOf(UNIT, 40) });
}

/** A contact between two nodes that is thrown at instants of the run. */
const bridge = (a: string, b: string, at: readonly (readonly [number, 'open' | 'closed'])[]) =>
  told(
    (netlist) => ({
      ...netlist,
      elements: [...netlist.elements, { kind: 'contact', id: 'comes', a, b, closed: false, ...IDEAL }],
    }),
    at.map(([atS, state]) => ({ atS, settings: [{ element: 'comes', state }] })),
  );

/** A terminal of K1 whose wire comes off at an instant. */
const comesOff = (mark: '85' | '87', atS: number) =>
  told(
    (netlist) => ({
      ...netlist,
      elements: [
        ...netlist.elements.map((element) =>
          element.kind === 'relay' && element.id === 'k1'
            ? { ...element, terminals: { ...element.terminals, [mark]: 'loose' } }
            : element,
        ),
        { kind: 'contact', id: 'joint', a: 'loose', b: `k1-${mark}`, closed: true, ...IDEAL },
      ],
    }),
    [{ atS, settings: [{ element: 'joint', state: 'open' }] }],
  );

describe(`a fault that sets in during the run (bench ${SEED})`, () => {
  it('is named with the throw from which on it was there: K1 held in', () => {
    const { verdict, findings } = bridge('rig.trigger-forward', 'ground', [[FORWARD.fromS + 0.4, 'closed']]);
    expect(verdict).toBe('fail');
    expect(findings[0]).toMatchObject({ id: 'trigger-forward-held' });
    expect(findings[0]!.likelihood).toBeGreaterThan(0.9);
    expect(findings[0]!.sentence).toMatch(/stays pulled in, but only from the forward throw on\./);
  });

  it.each([
    ['85', /K1/, ['k1-coil-open', 'k1-86-coil-feed-open', 'trigger-forward-open']],
    ['87', /87 of K1|30-87 of K1/, ['k1-87-feed-open', 'k1-make-open', 'k1-no-transfer']],
  ] as const)('is named where %s of K1 opens in mid-throw', (mark, words, ids) => {
    const { verdict, findings } = comesOff(mark, FORWARD.fromS + 0.5);
    const [first] = findings;
    expect(verdict).toBe('fail');
    expect(first!.sentence).toMatch(words);
    const named = [first!.id, ...(first!.inseparable ?? [])];
    expect(ids.some((id) => named.includes(id))).toBe(true);
    expect(first!.sentence).toMatch(/from the forward throw on/);
  });

  it('that comes and goes again within one rest is told as wrong, and no cause stands above a half', () => {
    const { verdict, sentence, findings } = bridge('rig.trigger-forward', 'ground', [
      [FORWARD.fromS + 0.4, 'closed'],
      [FORWARD.toS + 0.3, 'open'],
    ]);
    expect(verdict).toBe('fail');
    expect(sentence).toMatch(/^Forward: released, the motor goes on being driven/);
    expect(findings.filter(({ id, likelihood }) => id !== 'healthy' && likelihood > 0.5)).toEqual([]);
  });
});

it('that set in with a throw made again names it as one would say it', () => {
  const since = runStretch('full', 'forward', { nth: 2 });
  const pattern = { measured: {}, segments: [], tripsIn: undefined, since };
  const entry = { hypothesis: { sentence: 'Jumper a2-b1 is broken.' }, patterns: [pattern] };
  const told = toldSince(entry as unknown as Parameters<typeof toldSince>[0]);
  expect(told.hypothesis.sentence).toBe('Jumper a2-b1 is broken, but only from the second forward throw on.');
});
