// Which probe next: the one whose reading is expected to tell most for its cost (expected information, Lindley, Annals of
// Mathematical Statistics 27 (1956) 986), and when none tells anything any more.

import { HEALTHY } from '../diagnose/index.js';
import { displayed } from './hand-meter.js';
import { partingProbe } from './parting.js';
import type { Expected, Probe, Reading } from './probe.js';
import { type Probing, type Ranked, type Standing, standingOf } from './probing.js';
import { exactly, expectedOf, type Foretold, likelihoodsOf, nearly, variantsOf } from './weigh.js';

/** One cause at this chance is found. Choices of this program, no source; so are the next ones. */
const FOUND = 0.95;
/** Causes below this, beside the likeliest, are out. */
const OUT = 0.02;
/** More causes than this are not parted in one step. */
const MOST = 12;
/** Less than this is not worth a hand's time. */
const LEAST_BITS = 0.15;
/** So much left to none of the list is no end. */
const DOUBTFUL = 0.2;
/** An outcome less likely than this is not weighed. */
const LEAST_PART = 1e-3;
/** From here on nothing on the list fits. */
const UNLISTED = 0.5;

export type Conclusion =
  | { kind: 'open'; next: Probe; bits: number }
  /** One cause is left. */
  | { kind: 'one'; left: [Ranked] }
  /** No probe of the menu parts these. */
  | { kind: 'group'; left: Ranked[] }
  /** Nothing on the list gives these readings. */
  | { kind: 'unlisted'; left: Ranked[] };

/** What stands after all that was taken, and what to do next. `can` leaves out what a source cannot take. */
export function conclude(
  probing: Probing,
  can: (probe: Probe) => boolean,
): Conclusion & { standing: Standing } {
  const standing = standingOf(probing);
  const [first] = standing.ranked;
  const left = leftOf(standing);
  if (standing.unlisted >= UNLISTED || first === undefined) return { kind: 'unlisted', left, standing };
  const isAlone =
    left.length === 1 || (first.chance / (1 - standing.unlisted) >= FOUND && !mustProve(probing, first));
  // A cause that stands alone beside so much doubt has yet to show that it is not only the best of a bad list.
  const best = isAlone
    ? standing.unlisted < DOUBTFUL
      ? undefined
      : bestProbe(probing, againstGood(probing, first), can)
    : probing.start.proves
      ? partingProbe(probing, left, can)
      : bestProbe(probing, left.slice(0, MOST), can);
  if (best !== undefined) return { kind: 'open', ...best, standing };
  if (standing.unlisted >= DOUBTFUL && isAlone) return { kind: 'unlisted', left, standing };
  return isAlone ? { kind: 'one', left: [first], standing } : { kind: 'group', left, standing };
}

/** A unit is right when nothing else is left, however unlikely it was. */
const mustProve = ({ start }: Probing, { suspect }: Ranked): boolean =>
  start.proves === true && suspect.cause.id === HEALTHY;

/** The cause beside the good unit: what parts these shows the cause itself. */
function againstGood({ suspects }: Probing, first: Ranked): Ranked[] {
  const good = suspects.find(({ cause }) => cause.id === HEALTHY);
  if (good === undefined || good === first.suspect) return [first];
  const parts = new Array<number>(variantsOf(good)).fill(1 / variantsOf(good));
  return [first, { suspect: good, chance: first.chance, parts }];
}

/** The causes still in question. */
export function leftOf({ ranked }: Standing): Ranked[] {
  const most = ranked[0]?.chance ?? 0;
  return ranked.filter(({ chance }) => chance >= OUT * most);
}

function bestProbe(
  { menu, taken, passedOver }: Probing,
  left: readonly Ranked[],
  can: (probe: Probe) => boolean,
): { next: Probe; bits: number } | undefined {
  const done = new Set(taken.map(({ probe }) => probe.id));
  const asked = menu
    .filter((probe) => !done.has(probe.id) && !passedOver.has(probe.id) && can(probe))
    .map((probe, place) => ({ probe, place, score: informationOf(probe, left, nearly) / probe.costMin }))
    .filter(({ probe, score }) => score * probe.costMin >= LEAST_BITS)
    .sort((a, b) => b.score - a.score || a.place - b.place);
  // What was chosen at a glance is solved before anybody is sent to it.
  for (const { probe } of asked) {
    const bits = informationOf(probe, left);
    if (bits >= LEAST_BITS) return { next: probe, bits };
  }
  return undefined;
}

/** What is expected to be known more after the probe, in bits. */
export function informationOf(probe: Probe, left: readonly Ranked[], foretold: Foretold = exactly): number {
  const total = left.reduce((sum, { chance }) => sum + chance, 0);
  const before = left.map(({ chance }) => chance / total);
  const outcomes = left.flatMap(({ suspect, parts }, i) =>
    expectedOf(probe, suspect, foretold).flatMap((one, variant) =>
      readingsOf(probe, one).map(({ reading, part }) => ({
        reading,
        part: (before[i] ?? 0) * (parts[variant] ?? 0) * part,
      })),
    ),
  );
  const likely = outcomes.filter(({ part }) => part > LEAST_PART);
  if (isOneOutcome(likely.map(({ reading }) => reading))) return 0;
  const after = likely.reduce((sum, { reading, part }) => {
    const weights = left.map(({ suspect, parts }, i) => {
      const likelihoods = likelihoodsOf(probe, reading, suspect, foretold);
      return (before[i] ?? 0) * likelihoods.reduce((mean, each, v) => mean + each * (parts[v] ?? 0), 0);
    });
    return sum + part * entropyOf(weights);
  }, 0);
  return Math.max(0, entropyOf(before) - after);
}

/** Numbers so near one another that no meter parts them: nothing to weigh. */
function isOneOutcome(readings: readonly Reading[]): boolean {
  const values = readings.flatMap((each) => (each.kind === 'number' ? [each.value] : []));
  if (values.length < readings.length) return false;
  if (values.every((value) => value === Number.POSITIVE_INFINITY)) return true;
  return Math.max(...values) - Math.min(...values) < 0.05;
}

function readingsOf({ takes }: Probe, expected: Expected): { reading: Reading; part: number }[] {
  if ('yes' in expected)
    return [
      { reading: { kind: 'answer', yes: true }, part: expected.yes },
      { reading: { kind: 'answer', yes: false }, part: 1 - expected.yes },
    ];
  const value = takes.kind === 'number' ? displayed(takes.range, expected.value) : expected.value;
  return [{ reading: { kind: 'number', value }, part: 1 }];
}

function entropyOf(weights: readonly number[]): number {
  const total = weights.reduce((sum, weight) => sum + weight, 0);
  if (!(total > 0)) return 0;
  return weights.reduce(
    (sum, weight) => (weight > 0 ? sum - (weight / total) * Math.log2(weight / total) : sum),
    0,
  );
}
