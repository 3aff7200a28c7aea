// What was measured in a run outweighs what was inferred from it: whatever is the matter, the cause that is named first
// foretells the resistances on the way, the leads at rest and the leads behind a release that the same run reads. Runs
// come from a bench with noise, rounding and rig errors, every other one on a supply of 0.23 Ohm (a tired battery;
// common practice, no source), which is no cause of the feed's.

import { describe, expect, it } from 'vitest';
import { drawInput, faultsOfUnit, seededRandom } from '../../host/circuit/index.js';
import { type DiagnosisLibrary, diagnosisLibrary } from '../../host/diagnose/index.js';
import { judge } from '../../host/judge/index.js';
import type { Measured, QuantityName, Reading } from '../../host/measure/index.js';
import type { ResolvedUnit } from '../../host/profile/index.js';
import { withFaults } from '../circuit/with-faults.js';
import { knownUnit } from '../profile/known-unit.js';
import { asSeen, outsideRun } from '../references/outside-motor.js';
import { benchRun } from './bench.js';
import { expectationOf } from './known-expectations.js';

const SEED = 700;
const SOFT_OHM = 0.23;
/** Every so many of a style's faults. */
const STRIDE = 14;
/** Draws spread wires by tens of milliohms and leads by some tenths of a volt; what is named must be nearer than this many such spreads. */
const WITHIN = 4;

/** Worked out once for all tests of this file. */
const libraries = new Map<string, DiagnosisLibrary>();
function libraryOf(unit: ResolvedUnit): DiagnosisLibrary {
  const library = libraries.get(unit.unit.id) ?? diagnosisLibrary(unit);
  libraries.set(unit.unit.id, library);
  return library;
}

/** Read as they are, and what a good unit of the same profile may read off them. */
const DIRECT: Partial<Record<QuantityName, { floor: number; part: number }>> = {
  feedResistanceOhm: { floor: 0.03, part: 0.12 },
  groundResistanceOhm: { floor: 0.03, part: 0.12 },
  releaseLeadAVoltageV: { floor: 1.2, part: 0.1 },
  releaseLeadBVoltageV: { floor: 1.2, part: 0.1 },
};
const LEAD_AT_REST = { floor: 0.4, part: 0.03 };

function spreadOf({ what, of }: Reading): { floor: number; part: number } | undefined {
  const isLead = what === 'leadAVoltageV' || what === 'leadBVoltageV';
  if (of?.feed !== 'full') return undefined;
  return DIRECT[what] ?? (isLead && of.position === 'rest' ? LEAD_AT_REST : undefined);
}

/** By how many spreads the reading that fits worst is off what was foretold; `words` name it. */
function contradiction(read: Measured, foretold: Measured): { off: number; words: string } {
  return Object.entries(read).reduce(
    (worst, [key, reading]) => {
      const spread = spreadOf(reading);
      const other = foretold[key];
      if (!spread || !other) return worst;
      const deviation = Math.hypot(reading.standardUncertainty, spread.floor, spread.part * other.value);
      const off = Math.abs(reading.value - other.value) / deviation;
      const words = `${key} ${reading.value.toFixed(3)}, foretold ${other.value.toFixed(3)}`;
      return off > worst.off ? { off, words } : worst;
    },
    { off: 0, words: '' },
  );
}

describe.each([
  ['window-lift-switch', 1],
  ['seat-slide-relays', 2],
] as const)('%s', (id, first) => {
  it(`names no cause first that its own readings contradict (every ${STRIDE}th fault, draws from ${SEED})`, () => {
    const unit = knownUnit(id);
    const library = libraryOf(unit);
    const faults = faultsOfUnit(unit).filter((_, place) => place % STRIDE === first);
    expect(faults.length).toBeGreaterThan(3);
    const contradicted = faults.flatMap(({ id: fault }, n) => {
      const drawn = withFaults(drawInput(unit, seededRandom(SEED + n)), fault);
      const soft = { ...drawn, supply: { ...drawn.supply, sourceResistanceOhm: SOFT_OHM } };
      const { capture, stop } = benchRun(unit, n % 2 === 0 ? soft : drawn, { seed: SEED + n });
      const { findings, measured } = judge({
        ...{ unit, capture, stop, expectation: expectationOf(unit, 40) },
        library: () => library,
      });
      const [named] = findings;
      const entry = library.entries.find(({ hypothesis }) => hypothesis.id === named?.id);
      if (!named || !entry) return [];
      const ways = entry.patterns.map((pattern) => contradiction(measured, pattern.measured));
      const best = ways.reduce((a, b) => (b.off < a.off ? b : a));
      return best.off > WITHIN ? [`${fault}: ${named.sentence} But ${best.words}.`] : [];
    });
    expect(contradicted).toEqual([]);
  });
});

// A motor that nothing of host/ solved, whose winding is far below the profile's: start and running current alone speak
// for shorted turns, the drop that was read both ways for the joint.
it('a ground joint that was read both ways comes before what a strong motor looks like', () => {
  const unit = knownUnit('window-lift-switch');
  const solved = outsideRun({
    throws: [
      [0.3, 1.2, 1],
      [1.9, 2.8, -1],
    ],
    lasts: 3.4,
    groundOhm: 0.165,
    motor: { resistanceOhm: 0.36 },
  });
  const channels = ['motorCurrentA', 'leadAVoltageV', 'leadBVoltageV', 'supplyVoltageV'] as const;
  const capture = asSeen(solved, channels, { seed: SEED });
  const { verdict, findings, sentence } = judge({
    ...{ unit, capture, expectation: expectationOf(unit, 40) },
    library: () => libraryOf(unit),
  });
  expect(verdict, sentence).toBe('fail');
  expect(findings[0]?.id, sentence).toBe('ground-resistance');
});

it('the yardstick of these tests tells a feed joint from a good feed on a soft supply', () => {
  const unit = knownUnit('window-lift-switch');
  const library = libraryOf(unit);
  const drawn = drawInput(unit, seededRandom(SEED));
  const soft = { ...drawn, supply: { ...drawn.supply, sourceResistanceOhm: SOFT_OHM } };
  const { capture } = benchRun(unit, soft, { seed: SEED });
  const { measured } = judge({
    ...{ unit, capture, expectation: expectationOf(unit, 40) },
    library: () => libraryOf(unit),
  });
  const off = (cause: string): number[] =>
    library.entries
      .filter(({ hypothesis }) => hypothesis.id === cause)
      .flatMap(({ patterns }) => patterns.map((pattern) => contradiction(measured, pattern.measured).off));
  expect(Math.max(...off('feed-resistance'))).toBeGreaterThan(WITHIN);
  expect(Math.min(...off('supply-sags'))).toBeLessThan(WITHIN);
});
