// The rig's own crocodile clip on the unit's feed or ground grips badly, by some tenths of an ohm: no reading of the rig
// parts it from a joint of that wire, so it is named first, nothing is said of the unit, and ten seconds of
// pressing it come before any meter (common practice, no source).

import { describe, expect, it } from 'vitest';
import { clipFaultsOf, drawInput, faultsOf, rigFaultsOf, seededRandom } from '../../host/circuit/index.js';
import { judge } from '../../host/judge/index.js';
import type { ResolvedUnit } from '../../host/profile/index.js';
import { knownUnit } from '../profile/known-unit.js';
import { plannedUnit } from '../profile/planned-unit.js';
import { benchRun } from './bench.js';
import { expectationOf } from './known-expectations.js';

const UNITS = ['window-lift-switch', 'seat-slide-relays', 'roof-vent-on-commons'];
const SEED = 64013;

/** At another strength than the list states it. */
function judgedWith(unit: ResolvedUnit, id: string, ohm: number, seed: number) {
  const clip = clipFaultsOf(unit.style).find((fault) => fault.id === id)!;
  const [edit] = clip.edits;
  if (edit?.do !== 'series') throw new Error(`${id} is no series resistance`);
  const weak = { ...clip, edits: [{ ...edit, resistanceOhm: ohm }] };
  const input = { ...drawInput(unit, seededRandom(seed)), faults: [weak] };
  const { capture, stop } = benchRun(unit, input, { seed });
  return judge({ unit, capture, stop, expectation: expectationOf(unit) });
}

describe.each(UNITS)(`a clip that grips badly on %s, drawn and read with seed ${SEED}`, (profile) => {
  const unit = knownUnit(profile);
  it.each([
    ['feed-clip-weak', 0.3],
    ['ground-clip-weak', 0.3],
    ['ground-clip-weak', 0.6],
  ])('%s of %f Ω is named first, pressed first, and fails nobody', (id, ohm) => {
    const { findings, verdict, sentence } = judgedWith(unit, id, ohm, SEED);
    const [first] = findings;
    expect(verdict, sentence).toBe('cannot-tell');
    expect(sentence).toMatch(
      /^(This may be the rig, not the unit: t|T)he rig's clip on [^;.]* grips badly[.;] /,
    );
    expect(first?.id).toBe(id);
    expect(first?.sentence).toMatch(/^One of these \w+, which read the same: the rig's clip on /);
    expect(first?.probe).toMatchObject({ id: `press-${id}`, does: 'wiggle', costMin: 0.3 });
    expect(first?.nextProbe).toMatch(
      /^Throw \w+ and watch lead [AB]: does it jump when you press the rig's clip on .*\? Yes: that is it \(outputs off, move it to bare metal and repeat\); no: /,
    );
  });
});

it('both throws alike part it from a contact of one throw (seed 64017)', () => {
  const unit = knownUnit('seat-slide-relays');
  const [burnt] = faultsOf(unit.style).filter(({ id }) => id === 'k1-make-burnt');
  const input = { ...drawInput(unit, seededRandom(64017)), faults: [burnt!] };
  const { capture, stop } = benchRun(unit, input, { seed: 64017 });
  const { findings, verdict } = judge({ unit, capture, stop, expectation: expectationOf(unit) });
  expect([findings[0]?.id, ...(findings[0]?.inseparable ?? [])]).not.toContain('feed-clip-weak');
  expect(verdict).toBe('fail');
});

it('the sense of the supply parts it from a supply that sags (seed 64019)', () => {
  const unit = knownUnit('window-lift-switch');
  const { findings } = judgedWith(unit, 'feed-clip-weak', 0.4, 64019);
  expect([findings[0]?.id, ...(findings[0]?.inseparable ?? [])]).not.toContain('supply-sags');
});

describe('on the list', () => {
  it('are of the rig, of every unit with wires of its own on the rig, and in one group with such a joint', () => {
    for (const profile of UNITS) {
      const { style } = plannedUnit(profile);
      const clips = clipFaultsOf(style);
      expect(clips.map(({ id }) => id)).toEqual(['feed-clip-weak', 'ground-clip-weak']);
      for (const { id, owner, group } of clips) {
        expect(owner, id).toBe('rig');
        expect(
          faultsOf(style).some((fault) => fault.group === group),
          id,
        ).toBe(true);
      }
    }
  });

  it('a motor alone has none on posts, but on its leads, in one group with the rig’s own links', () => {
    const { style } = plannedUnit('window-lift-alone');
    expect(clipFaultsOf(style)).toEqual([]);
    const groupOf = (id: string) => rigFaultsOf(style).find((fault) => fault.id === id)?.group;
    for (const lead of ['a', 'b']) {
      expect(groupOf(`lead-${lead}-clip-weak`)).toBeDefined();
      expect(groupOf(`lead-${lead}-clip-weak`)).toBe(groupOf(`rig-lead-${lead}-link-resistance`));
    }
  });
});

it('a link of a motor alone that grips badly is named before the motor, and pressed first (seed 64023)', () => {
  const unit = knownUnit('window-lift-alone');
  const at = { element: 'rig-feed-link', terminal: 'a' };
  const edits = [{ do: 'series' as const, at, resistanceOhm: 0.4 }];
  const input = { ...drawInput(unit, seededRandom(64023)), faults: [{ id: 'link', edits }] };
  const { capture, stop } = benchRun(unit, input, { seed: 64023 });
  const { findings, verdict } = judge({ unit, capture, stop, expectation: expectationOf(unit) });
  expect(verdict).toBe('cannot-tell');
  expect([findings[0]?.id, ...(findings[0]?.inseparable ?? [])]).toContain('rig-feed-link-resistance');
  expect(findings[0]?.nextProbe).toMatch(/press and turn both ends of the rig's/i);
});

it.each(['a', 'b'])(
  'the clip on lead %s of a motor alone is named first, pressed first, and nothing said of the motor (seed 64029)',
  (lead) => {
    const unit = knownUnit('window-lift-alone');
    const at = { element: `rig-lead-${lead}-link`, terminal: 'b' };
    const edits = [{ do: 'series' as const, at, resistanceOhm: 0.3 }];
    const input = { ...drawInput(unit, seededRandom(64029)), faults: [{ id: 'clip', edits }] };
    const { capture, stop } = benchRun(unit, input, { seed: 64029 });
    const { findings, verdict } = judge({ unit, capture, stop, expectation: expectationOf(unit) });
    expect(verdict).toBe('cannot-tell');
    expect(findings[0]?.id).toBe(`lead-${lead}-clip-weak`);
    expect(findings[0]?.nextProbe).toMatch(
      /does it jump when you press the rig's clip on motor lead [AB]\? Yes: that is it \(outputs off, move it/,
    );
  },
);
