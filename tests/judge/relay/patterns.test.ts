// The shortened plan that a relay's hypotheses are simulated on, and which of its ways each may show. Nothing is
// simulated here: what would be is written down.

import { afterAll, beforeEach, describe, expect, it, vi } from 'vitest';
import * as circuit from '../../../host/circuit/index.js';
import { HEALTHY, nothingWrong } from '../../../host/diagnose/index.js';
import * as measuring from '../../../host/judge/relay/measuring.js';
import { RelayLibraryWork, type RelayPattern, shortPlan } from '../../../host/judge/relay/patterns.js';
import { type Plan, planSchema, type ResolvedUnit } from '../../../host/profile/index.js';
import { captureOf } from '../handmade.js';
import { ALONE, type MadeRelay, seenOf } from './handmade.js';

// Put in place while these tests run, and taken away behind them: files share their modules.
const STAND_INS = [
  vi.spyOn(circuit, 'simulatePlan'),
  vi.spyOn(circuit, 'faultsOfUnit'),
  vi.spyOn(circuit, 'rigFaultsOf'),
  vi.spyOn(measuring, 'measureRelayUnit'),
];
afterAll(() => {
  for (const one of STAND_INS) one.mockRestore();
});

type Written = readonly [
  position: 'rest' | 'forward' | 'reverse',
  feed: 'off' | 'limited' | 'full',
  ask?: string,
];
const planOf = (steps: readonly Written[]): Plan =>
  planSchema.parse({
    id: 'any',
    title: 'Any',
    kind: 'plan',
    steps: steps.map(([position, feed, ask]) => ({
      position,
      feed,
      durationS: 0.3,
      ...(ask ? { ask } : {}),
    })),
  });
const shortened = (...steps: Written[]): Written[] =>
  shortPlan(planOf(steps)).steps.map(({ position, feed, ask }) =>
    ask ? [position, feed, ask] : [position, feed],
  );

describe('a plan with no stretch made more often than twice', () => {
  const ON: Written = ['forward', 'full'];
  const TEST: Written = ['reverse', 'off'];
  const OFF: Written = ['rest', 'full'];
  const IDLE: Written = ['rest', 'off'];

  it('keeps two of five, each with its rest', () => {
    expect(shortened(OFF, ON, OFF, ON, OFF, ON, OFF, ON, OFF, ON, OFF)).toEqual([OFF, ON, OFF, ON, OFF]);
  });

  it('counts every kind of throw for itself', () => {
    expect(shortened(IDLE, TEST, IDLE, TEST, IDLE, TEST, IDLE, ON, OFF, ON, OFF, ON, OFF)).toEqual([
      IDLE,
      TEST,
      IDLE,
      TEST,
      IDLE,
      ON,
      OFF,
      ON,
      OFF,
    ]);
    const limited: Written = ['forward', 'limited'];
    expect(shortened(ON, OFF, ON, OFF, limited, OFF, limited, OFF)).toHaveLength(8);
  });

  it('counts anew behind another kind', () => {
    expect(shortened(ON, OFF, ON, OFF, TEST, IDLE, ON, OFF, ON, OFF)).toHaveLength(10);
  });

  it('keeps a rest in which a person is asked for something, and counts anew behind it', () => {
    const asked: Written = ['rest', 'off', 'exchange-coil'];
    expect(shortened(TEST, IDLE, TEST, IDLE, TEST, asked, TEST, IDLE, TEST, IDLE, TEST, IDLE)).toEqual([
      TEST,
      IDLE,
      TEST,
      IDLE,
      asked,
      TEST,
      IDLE,
      TEST,
      IDLE,
    ]);
  });

  it('counts anew behind a rest that is followed by an asked one', () => {
    const asked: Written = ['rest', 'off', 'exchange-coil'];
    expect(shortened(TEST, IDLE, TEST, IDLE, asked, TEST, IDLE, TEST, IDLE)).toEqual([
      TEST,
      IDLE,
      TEST,
      IDLE,
      asked,
      TEST,
      IDLE,
      TEST,
      IDLE,
    ]);
  });

  it('keeps every rest that follows another one', () => {
    expect(shortened(OFF, OFF, OFF, OFF, ON, OFF)).toHaveLength(6);
  });

  it('keeps a throw that no rest follows', () => {
    expect(shortened(ON, OFF, ON, OFF, ON, TEST)).toEqual([ON, OFF, ON, OFF, ON, TEST]);
    expect(shortened(ON, OFF, ON, OFF, ON)).toEqual([ON, OFF, ON, OFF, ON]);
  });

  it('of the shipped relay has two of everything, and its turning of the supply no longer than 12 s', () => {
    const { steps } = shortPlan(ALONE.plan);
    const kinds = steps.map(({ position, feed, ask }) => `${position} ${feed} ${ask ?? ''}`);
    expect(kinds.filter((kind) => kind === 'forward full ')).toHaveLength(2);
    expect(kinds.filter((kind) => kind === 'reverse off ')).toHaveLength(4);
    expect(steps.at(-1)).toMatchObject({ ask: 'ramp-coil', durationS: 12 });
    expect(steps[0]).toEqual(ALONE.plan.steps[0]);
  });
});

describe('the patterns of a relay', () => {
  const PLAN = planOf([
    ['rest', 'off'],
    ['reverse', 'off'],
    ['rest', 'full'],
    ['forward', 'full'],
    ['rest', 'full'],
  ]);
  const UNIT: ResolvedUnit = { ...ALONE, plan: PLAN };
  const simulated = vi.mocked(circuit.simulatePlan);
  const measured = vi.mocked(measuring.measureRelayUnit);
  const faults = vi.mocked(circuit.faultsOfUnit);
  const capture = captureOf([{ position: 'rest', durationS: 0.01 }]);
  const rigFaults = vi.mocked(circuit.rigFaultsOf);
  const fault = (id: string, more: Partial<circuit.Fault> = {}): circuit.Fault => ({
    ...circuit.faultOf([], id, 'open', {
      cause: `${id} is so`,
      nextProbe: `Look at ${id}.`,
      does: 'look',
      edits: [{ do: 'bridge', a: id, b: 'rig.gnd', resistanceOhm: 1 }],
    }),
    ...more,
  });
  const relayPatterns = (unit: ResolvedUnit): RelayPattern[] => new RelayLibraryWork(unit).finish().entries;
  /** What each simulated run would read, by the faults in it. */
  const reading = (made: (faults: readonly string[]) => MadeRelay): void => {
    let now: readonly string[] = [];
    simulated.mockImplementation((input) => {
      now = input.faults?.map(({ id }) => id) ?? [];
      return capture;
    });
    measured.mockImplementation(() => seenOf(made(now)));
  };
  const stepsOf = (call: number) => simulated.mock.calls[call]?.[1].steps.map(({ position }) => position);

  beforeEach(() => {
    for (const mock of [simulated, measured, faults, rigFaults]) mock.mockReset();
    faults.mockReturnValue([]);
    rigFaults.mockReturnValue([]);
    reading(() => ({}));
  });

  it('have one for nothing wrong, three times as likely as a fault', () => {
    const [healthy, ...more] = relayPatterns(UNIT);
    expect(more).toEqual([]);
    expect(healthy?.hypothesis).toBe(nothingWrong);
    expect(nothingWrong).toMatchObject({
      id: HEALTHY,
      sentence: 'Nothing in the readings points to a fault.',
      nextProbe: 'Repeat the run; if it reads the same, the limits of the profile are the matter.',
      prior: 3,
    });
  });

  it('have one for every fault of the unit, with its words and its group', () => {
    const [plain, stuck] = [fault('k1-odd'), fault('k1-other', { group: 'stuck', commonness: 2 })];
    faults.mockReturnValue([plain, stuck]);
    const [, odd, other] = relayPatterns(UNIT);
    expect(faults).toHaveBeenCalledWith(UNIT);
    expect(odd?.hypothesis).toMatchObject({ ...plain, prior: 1 });
    expect(other?.hypothesis).toMatchObject({ ...stuck, prior: 2 });
    expect(simulated.mock.calls.map(([input]) => input.faults ?? [])).toEqual([
      [],
      [],
      [{ id: 'k1-odd', edits: plain.edits }],
      [{ id: 'k1-odd', edits: plain.edits }],
      [{ id: 'k1-other', edits: stuck.edits }],
      [{ id: 'k1-other', edits: stuck.edits }],
    ]);
  });

  it('are the same for all of a group, of which one is simulated', () => {
    faults.mockReturnValue([fault('k1-odd', { group: 'stuck' }), fault('k1-other', { group: 'stuck' })]);
    const [, odd, other] = relayPatterns(UNIT);
    expect(other?.hypothesis.id).toBe('k1-other');
    expect(other?.patterns).toBe(odd?.patterns);
    expect(simulated.mock.calls.map(([input]) => input.faults?.[0]?.id)).not.toContain('k1-other');
  });

  it('have those of the rig too, the last to accuse', () => {
    rigFaults.mockReturnValue([fault('clip-open', { owner: 'rig' })]);
    const [, clip] = relayPatterns(UNIT);
    expect(rigFaults).toHaveBeenCalledWith(UNIT.style);
    expect(clip?.hypothesis).toMatchObject({ id: 'clip-open', prior: 0.2 });
  });

  const LIKELIER: readonly string[] = [
    'coil-open',
    'diode-reversed',
    'make-welded',
    'make-burnt',
    'break-burnt',
    'four-pin',
    'make-pitted',
    'break-pitted',
  ];
  it('hold what wears and what is met oftener for twice as likely', () => {
    for (const standIn of [faults, rigFaults]) standIn.mockReset();
    const weights = new RelayLibraryWork(UNIT).ways.map(({ hypothesis }) => hypothesis);
    const likelier = weights.filter(({ owner, prior }) => owner === 'harness' && prior === 2);
    expect(likelier.map(({ what }) => what)).toEqual(LIKELIER);
    const rest = weights.filter(({ owner, id }) => owner === 'harness' && id !== HEALTHY);
    expect(rest.length).toBeGreaterThan(likelier.length);
    for (const { id, what, prior } of rest) expect(prior, id).toBe(LIKELIER.includes(what) ? 2 : 1);
  });

  it('show the whole run where the test current meets a winding', () => {
    const [healthy] = relayPatterns(UNIT);
    expect(healthy?.patterns).toHaveLength(1);
    expect([stepsOf(0), stepsOf(1)]).toEqual([
      ['rest', 'reverse', 'rest'],
      ['rest', 'reverse', 'rest', 'forward', 'rest'],
    ]);
  });

  it('show the run up to the whole supply too, where the test current goes past the winding', () => {
    reading((now) => (now.length > 0 ? { suppression: { kind: 'shorted' } } : {}));
    faults.mockReturnValue([fault('k1-shorted')]);
    const [healthy, shorted] = relayPatterns(UNIT);
    expect(healthy?.patterns).toHaveLength(1);
    expect(shorted?.patterns).toHaveLength(2);
    expect(simulated.mock.calls.length).toBe(4);
    expect(stepsOf(2)).toHaveLength(3);
    expect(stepsOf(3)).toHaveLength(5);
  });

  it('show the whole run where the plan begins with the whole supply, or never comes to it', () => {
    for (const steps of [
      [
        ['forward', 'full'],
        ['rest', 'full'],
      ],
      [
        ['rest', 'off'],
        ['reverse', 'off'],
      ],
    ] as const) {
      simulated.mockClear();
      const [healthy] = relayPatterns({ ...UNIT, plan: planOf(steps) });
      expect(healthy?.patterns).toHaveLength(1);
      expect(simulated).toHaveBeenCalledTimes(1);
    }
  });

  it('are of the shortened plan, half a sample off', () => {
    const long = planOf([
      ['rest', 'off'],
      ...Array.from(
        { length: 5 },
        () =>
          [
            ['forward', 'full'],
            ['rest', 'full'],
          ] as const,
      ).flat(),
    ]);
    relayPatterns({ ...UNIT, plan: long });
    expect(stepsOf(1)).toEqual(['rest', 'forward', 'rest', 'forward', 'rest']);
    for (const [, , options] of simulated.mock.calls)
      expect(options).toEqual({ leadInS: 0.2001, solver: { relativeTolerance: 2e-3 } });
    expect(measured.mock.calls[0]?.[1]).toBe(capture);
  });

  it('leave out a fault whose circuit cannot be solved, and nothing else', () => {
    faults.mockReturnValue([fault('k1-floating'), fault('k1-odd')]);
    const failing = (error: Error) =>
      simulated.mockImplementation((input) => {
        if (input.faults?.some(({ id }) => id === 'k1-floating')) throw error;
        return capture;
      });
    failing(
      new circuit.CircuitError({
        code: 'floating-node',
        sentence: 'Nothing holds it.',
        nodes: [],
        elements: [],
      }),
    );
    expect(relayPatterns(UNIT).map(({ hypothesis }) => hypothesis.id)).toEqual([HEALTHY, 'k1-odd']);
    failing(new RangeError('a fault of this program'));
    expect(() => relayPatterns(UNIT)).toThrow(RangeError);
  });
});
