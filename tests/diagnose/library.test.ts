// The library of a profile: every hypothesis simulated in its ways, no circuit twice, the same whoever does which piece.

import { describe, expect, it } from 'vitest';
import { diagnosisLibrary, hypothesesOf, LibraryWork } from '../../host/diagnose/index.js';
import { loadUnit, type ResolvedUnit } from '../../host/profile/index.js';

const loaded = loadUnit('window-lift-alone');
const [rest, ...throws] = loaded.plan.steps.filter(({ feed }) => feed === 'full');
/** One throw, so that the whole library is quick. */
const UNIT: ResolvedUnit = {
  ...loaded,
  plan: { ...loaded.plan, steps: [rest, ...throws].flatMap((step) => (step ? [step] : [])).slice(0, 3) },
};

describe('the work of a library', () => {
  const work = new LibraryWork(UNIT);

  it('builds each way of each hypothesis from its edits, the good unit where there are none', () => {
    for (const { hypothesis, inputs } of work.ways) {
      expect(inputs.map(({ faults }) => faults?.[0]?.edits ?? [])).toEqual(hypothesis.ways);
    }
  });

  it('simulates no circuit twice: leads that read as brushes are the same runs', () => {
    const all = work.ways.flatMap(({ inputs }) => inputs);
    const leads = work.ways.filter(
      ({ hypothesis }) => hypothesis.what === 'resistance' && hypothesis.owner !== 'rig',
    );
    const brushes = work.ways.find(({ hypothesis }) => hypothesis.what === 'brushes-worn');
    expect(leads.map(({ inputs }) => inputs)).toEqual([brushes?.inputs, brushes?.inputs]);
    for (const [i, input] of (leads[0]?.inputs ?? []).entries()) expect(input).toBe(brushes?.inputs[i]);
    expect(work.count).toBeLessThanOrEqual(new Set(all).size);
    expect(work.count).toBeLessThan(all.length);
  });

  it('gives the same library from shares that went through a thread as from one piece of work', () => {
    const [one, two, joined] = [new LibraryWork(UNIT), new LibraryWork(UNIT), new LibraryWork(UNIT)];
    for (let piece = 0; piece < one.count; piece++) (piece % 2 === 0 ? one : two).do(piece);
    expect(one.isComplete).toBe(false);
    joined.add(structuredClone(one.share()));
    joined.add(structuredClone(two.share()));
    expect(joined.isComplete).toBe(true);
    const library = diagnosisLibrary(UNIT, {}, joined);
    expect(library.notes).toEqual([]);
    expect(library.entries.map(({ hypothesis }) => hypothesis.id)).toEqual(
      hypothesesOf(UNIT).map(({ id }) => id),
    );
    expect(diagnosisLibrary(UNIT).entries.map(({ patterns }) => patterns)).toEqual(
      library.entries.map(({ patterns }) => patterns),
    );
  });
});
