// From a run's readings to ranked findings, over a library made by hand: what each cause weighs, how findings are told, and
// when a probe is looked for. The probe itself has tests of its own.

import { afterAll, beforeEach, describe, expect, it, vi } from 'vitest';
import { type DiagnoseRequest, type DiagnosisLibrary, diagnose } from '../../host/diagnose/index.js';
import * as probing from '../../host/diagnose/probing/next-probe.js';
import { REST } from '../../host/measure/index.js';
import { FORWARD, LIMITED_FORWARD, REVERSE, type ReadAt, segmentOf } from '../judge/handmade.js';
import { cause, HEALTHY, libraryOf, numbered, SHARED, type Shown, seenOf, student } from './handmade.js';

// Put in place while these tests run, and taken away behind them: files share their modules.
const probed = vi.spyOn(probing, 'nextProbeOf');
afterAll(() => probed.mockRestore());
beforeEach(() => {
  probed.mockReset();
  probed.mockReturnValue(undefined);
});

const leadB = (volts: number, more: Omit<Shown, 'read'> = {}): Shown => ({
  read: [[FORWARD, { leadBVoltageV: volts }]],
  ...more,
});
/** Log likelihood of `seenV` on lead B where `ownV` is foretold. */
const term = (seenV: number, ownV: number): number =>
  numbered(seenV - ownV, Math.hypot(0.12, 0.01 * ownV), 0.12);
const unlisted = (count: number): number => Math.log(0.3) + SHARED * count * student(3.2);
function shares(scores: Record<string, number>): Record<string, number> {
  const total = Object.values(scores).reduce((sum, score) => sum + Math.exp(score), 0);
  return Object.fromEntries(Object.entries(scores).map(([id, score]) => [id, Math.exp(score) / total]));
}
const found = (library: DiagnosisLibrary, seen: Shown, more: Partial<DiagnoseRequest> = {}) =>
  diagnose({ library, seen: seenOf(seen), ...more });
const likelihoods = (findings: ReturnType<typeof found>): Record<string, number> =>
  Object.fromEntries(findings.map(({ id, likelihood }) => [id, likelihood]));
function expectShares(findings: ReturnType<typeof found>, scores: Record<string, number>): void {
  const wanted = shares(scores);
  expect(findings.length).toBeGreaterThan(0);
  for (const { id, likelihood, inseparable = [] } of findings) {
    const sum = [id, ...inseparable].reduce((total, one) => total + (wanted[one] ?? Number.NaN), 0);
    expect(likelihood, id).toBeCloseTo(sum, 9);
  }
}

describe('the share of a cause', () => {
  it('is its weight before the run times how well it explains the run', () => {
    const library = libraryOf(leadB(0), cause('near', [leadB(1)]), cause('far', [leadB(1.6)], { prior: 2 }));
    const got = found(library, leadB(0.6));
    expectShares(got, {
      [HEALTHY]: Math.log(3) + term(0.6, 0),
      near: term(0.6, 1),
      far: Math.log(2) + term(0.6, 1.6),
      'not-in-list': unlisted(1),
    });
    expect(got.length).toBeGreaterThan(2);
  });

  it('is the mean over the ways in which it may show', () => {
    const library = libraryOf(leadB(0), cause('either', [leadB(1), leadB(3)]), cause('one', [leadB(3)]));
    const mean = Math.log((Math.exp(term(0.6, 1)) + Math.exp(term(0.6, 3))) / 2);
    expectShares(found(library, leadB(0.6)), {
      [HEALTHY]: Math.log(3) + term(0.6, 0),
      either: mean,
      one: term(0.6, 3),
      'not-in-list': unlisted(1),
    });
  });

  it('of nothing wrong is less by what the checks leave to it', () => {
    const library = libraryOf(leadB(0), cause('near', [leadB(1)]));
    expectShares(found(library, leadB(0.5), { healthyLog: -2 }), {
      [HEALTHY]: Math.log(3) + term(0.5, 0) - 2,
      near: term(0.5, 1),
      'not-in-list': unlisted(1),
    });
  });

  it('is by readings as far as they spread among good units', () => {
    const library = libraryOf(leadB(0), cause('near', [leadB(1)]));
    expectShares(found(library, leadB(0.5), { spread: { forwardLeadBVoltageV: 0.4 } }), {
      [HEALTHY]: Math.log(3) + term(0.5, 0),
      near: numbered(-0.5, Math.hypot(0.12, 0.01, 0.4), 0.12),
      'not-in-list': unlisted(1),
    });
  });

  it('is by the ripples of a turn too, and what is not listed may make them uneven', () => {
    const seen: Shown = {
      read: [[FORWARD, { leadBVoltageV: 0.5, ripplesMissingPerTurn: 1, ripplesDeepPerTurn: 0 }]],
    };
    const library = libraryOf(leadB(0), cause('segment', [leadB(0)], { unevenRipple: 0.9, owner: 'motor' }));
    expectShares(found(library, seen), {
      [HEALTHY]: Math.log(3) + term(0.5, 0) + Math.log(0.002),
      segment: term(0.5, 0) + Math.log(0.9),
      'not-in-list': unlisted(1) + Math.log(0.05),
    });
  });
});

describe('the supply of the run', () => {
  const onSupply = (supplyV: number, leadAV: number): Shown => ({
    read: [
      [REST, { supplyVoltageV: supplyV }],
      [FORWARD, { leadAVoltageV: leadAV }],
    ],
  });
  const shareOf = (seen: Shown, good = onSupply(13, 13)) =>
    likelihoods(found(libraryOf(good, cause('low', [onSupply(13, 10)])), seen));

  it('is held against that of the library', () => {
    expect(shareOf(onSupply(10, 10))[HEALTHY]).toBeGreaterThan(0.9);
    expect(shareOf(onSupply(13, 10)).low).toBeGreaterThan(0.9);
  });
  it('counts as the library’s where it was not read, in either', () => {
    expect(shareOf({ read: [[FORWARD, { leadAVoltageV: 10 }]] }).low).toBeGreaterThan(0.9);
    expect(shareOf(onSupply(10, 10), { read: [[FORWARD, { leadAVoltageV: 13 }]] }).low).toBeGreaterThan(0.9);
  });
  it('counts as the library’s where less than a volt was read, in either', () => {
    expect(shareOf(onSupply(1, 10)).low).toBeGreaterThan(0.9);
    expect(shareOf(onSupply(10, 10), onSupply(1, 13)).low).toBeGreaterThan(0.9);
  });
});

describe('an over-current stop', () => {
  const tripping = (id: string, stretch?: string) =>
    cause(id, [{ segments: [], ...(stretch === undefined ? {} : { tripsIn: stretch }) }]);
  const library = libraryOf(
    { segments: [] },
    tripping('in-rest', 'rest'),
    tripping('in-forward', 'forward'),
    tripping('in-reverse', 'reverse'),
  );
  const first = (segments: Shown['segments'], stop?: string) =>
    found(library, { segments: segments ?? [] }, { stop })[0]?.id;

  it('fell in the last throw that was cut short', () => {
    const cut = segmentOf(FORWARD, { brief: true });
    expect(first([segmentOf(REST), cut], 'over-current')).toBe('in-forward');
    expect(first([segmentOf(REST), cut, segmentOf(REST)], 'over-current')).toBe('in-forward');
    const both = [cut, segmentOf(REVERSE, { brief: true }), segmentOf(REST, { brief: true })];
    expect(first(both, 'over-current')).toBe('in-reverse');
  });
  it('fell in the last stretch where no throw was cut short, and at rest where there is none', () => {
    expect(first([segmentOf(REST), segmentOf(REVERSE)], 'over-current')).toBe('in-reverse');
    expect(first([segmentOf(FORWARD), segmentOf(REST, { brief: true })], 'over-current')).toBe('in-rest');
    expect(first([], 'over-current')).toBe('in-rest');
  });
  it('is one, and no other stop', () => {
    const segments = [segmentOf(FORWARD, { brief: true })];
    expect(first(segments)).toBe(HEALTHY);
    expect(first(segments, 'stop-loop')).toBe(HEALTHY);
  });
});

describe('findings', () => {
  it('name together what the run cannot tell apart, the likeliest cause first', () => {
    const library = libraryOf(
      leadB(0),
      cause('wire', [leadB(5)]),
      cause('joint', [leadB(5.05)], { prior: 2 }),
    );
    const [first] = found(library, leadB(5));
    expect(first).toMatchObject({ id: 'joint', inseparable: ['wire'] });
    expect(first?.causes?.map(({ id }) => id)).toEqual(['joint', 'wire']);
  });

  it('name together what may show otherwise, but not in this run', () => {
    const library = libraryOf(
      leadB(0),
      cause('slight', [leadB(5), leadB(2)]),
      cause('strong', [leadB(5), leadB(9)], { prior: 2 }),
    );
    expect(found(library, leadB(5))[0]).toMatchObject({ id: 'strong', inseparable: ['slight'] });
  });

  it('name together what the limited feed cannot part, where the run ended there', () => {
    const both = (fullV: number): Shown => ({
      read: [
        [LIMITED_FORWARD, { leadAVoltageV: 0 }],
        [FORWARD, { leadBVoltageV: fullV }],
      ],
      segments: [segmentOf(LIMITED_FORWARD), segmentOf(FORWARD)],
    });
    const good: Shown = {
      read: [[LIMITED_FORWARD, { leadAVoltageV: 9 }]],
      segments: [segmentOf(LIMITED_FORWARD)],
    };
    const library = libraryOf(good, cause('a', [both(0)], { prior: 2 }), cause('b', [both(9)]));
    const seen: Shown = {
      read: [[LIMITED_FORWARD, { leadAVoltageV: 0 }]],
      segments: [segmentOf(LIMITED_FORWARD)],
    };
    expect(found(library, seen)[0]).toMatchObject({ id: 'a', inseparable: ['b'] });
  });

  it('carry their proof; that nothing is wrong needs none', () => {
    const library = libraryOf(leadB(0), cause('joint', [leadB(5)]));
    const [first] = found(library, leadB(5));
    expect(first?.proof).toEqual(['Lead B, forward: 5.0 V, a good unit 0.0 V.']);
    const [good] = found(library, leadB(0));
    expect(good?.id).toBe(HEALTHY);
    expect(good).not.toHaveProperty('proof');
    // What reads as a good unit does in every way that the plan shows is nothing that this run speaks for.
    const [unseen] = found(libraryOf(leadB(0), cause('same', [leadB(0)], { prior: 9 })), leadB(0));
    expect(unseen?.id).toBe(HEALTHY);
  });

  it('are at most six beside nothing on the list, none below one in a hundred', () => {
    // Told apart by a lead that this run lost: each as likely as it is met.
    const blind = (id: string, prior: number, n: number) =>
      cause(id, [{ segments: [segmentOf(FORWARD)], read: [[FORWARD, { leadBVoltageV: n }]] }], { prior });
    const seen: Shown = { segments: [segmentOf(FORWARD, { lost: { leadBVoltageV: 1 } })] };
    const good: Shown = { segments: [segmentOf(FORWARD)] };
    const eight = Array.from({ length: 8 }, (_, n) => blind(`cause-${n}`, 4 + n, 2 * n));
    expect(found(libraryOf(good, ...eight), seen).map(({ id }) => id)).toEqual([
      'cause-7',
      'cause-6',
      'cause-5',
      'cause-4',
      'cause-3',
      'cause-2',
    ]);
    const rare = [blind('usual', 1, 0), blind('worth', 0.045, 4), blind('not-worth', 0.042, 8)];
    // Of 3 + 1 + 0.087 + 0.3: 1.03 % and 0.96 %.
    expect(found(libraryOf(good, ...rare), seen).map(({ id }) => id)).toEqual([HEALTHY, 'usual', 'worth']);
  });

  it('have nothing on the list where its likelihood stands', () => {
    const seen = leadB(50);
    const [first] = found(libraryOf(leadB(0), cause('joint', [leadB(5)])), seen);
    expect(first?.id).toBe('not-in-list');
    expect(first?.nextProbe).toContain('against the unit on the bench');
  });
});

describe('the probe that parts what is left', () => {
  const sentence = 'Measure somewhere.';
  const library = libraryOf(
    leadB(0),
    cause('a', [leadB(5)], { prior: 3 }),
    cause('b', [leadB(5.05)], { prior: 2 }),
    cause('c', [leadB(5.3)]),
    cause('never', [leadB(12)]),
  );
  it('is looked for among all that are worth it, nothing wrong left out, and stands in the first finding', () => {
    const how = { id: 'any', does: 'meter', state: 'off', costMin: 2 } as const;
    probed.mockReturnValue({ ...how, bits: 1, sentence });
    const got = found(library, leadB(5));
    expect(got[0]?.nextProbe).toBe(sentence);
    expect(got[0]?.probe).toEqual(how);
    expect(got.slice(1).every(({ nextProbe }) => nextProbe !== sentence)).toBe(true);
    const [[unit, candidates] = []] = probed.mock.calls;
    expect(unit).toBe(library.unit);
    expect(candidates?.map(({ hypothesis }) => hypothesis.id)).toEqual(['a', 'b', 'c']);
    const total = got.reduce((sum, { likelihood }) => sum + likelihood, 0);
    expect(candidates?.reduce((sum, { weight }) => sum + weight, 0)).toBeCloseTo(total, 6);
    expect(candidates?.[0]?.answers).toBe(library.entries[1]?.answers);
  });
  it('leaves the finding’s own where none parts them', () => {
    expect(found(library, leadB(5))[0]?.nextProbe).toBe('Look at a.');
    expect(probed).toHaveBeenCalledTimes(1);
  });
  it('is not looked for where one cause alone is sure', () => {
    const sure = libraryOf(leadB(0), cause('a', [leadB(5)]), cause('b', [leadB(12)]));
    expect(found(sure, leadB(5))[0]?.likelihood).toBeGreaterThan(0.9);
    expect(probed).not.toHaveBeenCalled();
  });
  it('is looked for where one cause alone is not sure, and where several are one', () => {
    const open = libraryOf(leadB(0), cause('a', [leadB(1)]), cause('b', [leadB(2)]));
    expect(found(open, leadB(1.5))[0]?.likelihood).toBeLessThan(0.9);
    expect(probed).toHaveBeenCalledTimes(1);
    const one = libraryOf(leadB(0), cause('a', [leadB(9)]), cause('b', [leadB(9)]));
    expect(found(one, leadB(9))[0]?.likelihood).toBeGreaterThan(0.9);
    expect(probed).toHaveBeenCalledTimes(2);
  });
});

it('reads of a run with nothing in it still sum to one', () => {
  const read: ReadAt[] = [];
  const got = found(libraryOf({ read }, cause('a', [{ read }])), { read, segments: [] });
  expect(got.reduce((sum, { likelihood }) => sum + likelihood, 0)).toBeLessThanOrEqual(1 + 1e-9);
  expectShares(got, { [HEALTHY]: Math.log(3), 'not-in-list': Math.log(0.3) });
});
