// From a relay's readings to ranked causes: how well each hypothesis' own readings explain them; heavy-tailed terms for
// numbers, plain chances for what contacts and suppression do. Hypotheses that read the same are told together.

import {
  backgroundLog,
  findingOf,
  grouped,
  HEALTHY,
  LEAST_LIKELIHOOD,
  likeliestFirst,
  MOST_FINDINGS,
  nothingListed,
  numberTerm,
  posterior,
  SAME_WITHIN,
} from '../../diagnose/index.js';
import {
  type Carrier,
  QUANTITIES,
  QUANTITY_NAMES,
  type Quantity,
  type QuantityName,
  type RelayMeasured,
  readingOf,
} from '../../measure/index.js';
import type { Finding } from '../verdict.js';
import type { RelayPattern } from './patterns.js';

/** Readings of one relay share its tolerances; counted in full they would be too sure. */
const SHARED = 0.7;
const ONE_SIDED = -4;
/** A contact that carries where it should not, or the other way round. */
const CARRIER_MISMATCH = -7;
const SUPPRESSION_MISMATCH = -5;
function logLikelihood(seen: RelayMeasured, predicted: RelayMeasured): number {
  let sum = 0;
  for (const [what, { floor, part, most = Number.POSITIVE_INFINITY }] of WEIGHED) {
    const read = readingOf(seen.measured, what);
    const expected = readingOf(predicted.measured, what);
    if (!read && !expected) continue;
    if (!read || !expected) {
      sum += SHARED * (isLost(what, seen) ? 0 : ONE_SIDED);
      continue;
    }
    const value = Math.min(most, expected.value);
    const deviation = Math.hypot(floor, part * value, uncertaintyOf(read, most));
    sum +=
      SHARED * (numberTerm((Math.min(most, read.value) - value) / deviation) - Math.log(deviation / floor));
  }
  sum += carriers(seen, predicted) + suppression(seen, predicted);
  return sum;
}

/** Readings of the run as a whole that have a say when causes are weighed. */
const WEIGHED = QUANTITY_NAMES.flatMap((what) => {
  const least = QUANTITIES[what].least?.whole;
  return least ? [[what, least] as const] : [];
});

const uncertaintyOf = ({ value, standardUncertainty }: Quantity, most: number): number =>
  value > most ? 0 : standardUncertainty;

const RAMP: readonly QuantityName[] = ['pullInVoltageV', 'dropOutVoltageV'];
const TESTS: readonly QuantityName[] = ['markedTestOhm', 'exchangedTestOhm'];

/**
 * A reading that this run did not take at all says nothing: the ramp is the person's to make, and another instrument may
 * lack test current, supply, or what tells the contacts apart.
 */
function isLost(what: QuantityName, { measured, isWitnessed, cycles }: RelayMeasured): boolean {
  if (RAMP.includes(what)) return RAMP.every((one) => readingOf(measured, one) === undefined);
  if (!isWitnessed) return false;
  if (TESTS.includes(what)) return true;
  if (what === 'coilResistanceOhm') return readingOf(measured, 'coilSupplyVoltageV') === undefined;
  return cycles.every(({ before, on, after }) => [before, on, after].every((one) => one === 'unknown'));
}

function usual({ cycles }: RelayMeasured, which: 'before' | 'on' | 'after'): Carrier | undefined {
  const counts = new Map<Carrier, number>();
  for (const cycle of cycles) counts.set(cycle[which], (counts.get(cycle[which]) ?? 0) + 1);
  return [...counts].sort((a, b) => b[1] - a[1])[0]?.[0];
}

function carriers(seen: RelayMeasured, predicted: RelayMeasured): number {
  let sum = 0;
  for (const which of ['before', 'on', 'after'] as const) {
    const a = usual(seen, which);
    const b = usual(predicted, which);
    if (a === 'unknown' || b === 'unknown') continue;
    if (a === undefined && seen.isWitnessed) continue;
    if (a !== b) sum += CARRIER_MISMATCH;
  }
  return sum;
}

function suppression({ suppression: a }: RelayMeasured, { suppression: b }: RelayMeasured): number {
  if (a.kind === 'unknown' || b.kind === 'unknown') return 0;
  if (a.kind !== b.kind) return SUPPRESSION_MISMATCH;
  if (a.kind === 'diode' && b.kind === 'diode' && a.anodeAt !== b.anodeAt) return SUPPRESSION_MISMATCH;
  if (a.kind === 'resistor' && b.kind === 'resistor') {
    const deviation = Math.hypot(a.standardUncertainty, 0.15 * b.ohm);
    return SHARED * numberTerm((a.ohm - b.ohm) / deviation);
  }
  return 0;
}

const best = (seen: RelayMeasured, { patterns }: RelayPattern): number =>
  Math.max(...patterns.map((pattern) => logLikelihood(seen, pattern)));

/** Less better than a good relay is none. Choice of this program, no source. */
const EXPLAINS = 0.5;
const MORE_SAMPLED =
  'Repeat it on the rig, or with load current, both contacts and supply sampled too: that may show more.';

/** The coil takes its current in one sweep, as one does whose armature is held, and no contact was read that would tell. */
const isStillUntold = ({ measured }: RelayMeasured): boolean =>
  readingOf(measured, 'armatureMoves')?.value === 0 && readingOf(measured, 'cyclesOperated') === undefined;
/** Neither a good relay nor one that is held: the one cannot be told from the other. */
const NO_MARK = {
  id: 'armature-not-shown',
  sentence: 'The coil takes its current, but nothing shows that the armature moves: it may be held.',
  nextProbe: 'Feed the coil and listen for its click, or measure 30 to 87 with the coil fed.',
};

/** Ranked; likelihoods sum to at most 1, the rest is nothing on the list. */
export function relayFindings(seen: RelayMeasured, entries: readonly RelayPattern[]): Finding[] {
  const good = entries.find(({ hypothesis }) => hypothesis.id === HEALTHY);
  const goodBest = good === undefined ? Number.NEGATIVE_INFINITY : best(seen, good);
  const scored = entries.flatMap((entry) => {
    const own = best(seen, entry);
    // What another instrument did not read speaks for no cause: it must explain something better than a good relay does.
    const isUnshown = seen.isWitnessed && entry !== good && own < goodBest + EXPLAINS;
    return isUnshown ? [] : [{ entry, score: Math.log(entry.hypothesis.prior) + own }];
  });
  const count = WEIGHED.filter(([what]) => readingOf(seen.measured, what)).length;
  const { ranked, unknown } = posterior(scored, backgroundLog(count, SHARED));
  const findings = grouped(ranked, sameReadings)
    .map(findingOf)
    .map((finding) =>
      seen.isWitnessed && finding.id === HEALTHY
        ? { ...finding, ...(isStillUntold(seen) ? NO_MARK : { nextProbe: MORE_SAMPLED }) }
        : finding,
    )
    .filter(({ likelihood }) => likelihood >= LEAST_LIKELIHOOD);
  return [...findings, ...nothingListed(unknown, 'relay')].sort(likeliestFirst).slice(0, MOST_FINDINGS);
}

function sameReadings(a: RelayPattern, b: RelayPattern): boolean {
  if (a.hypothesis.id === HEALTHY || b.hypothesis.id === HEALTHY) return false;
  if (a.hypothesis.group !== undefined && a.hypothesis.group === b.hypothesis.group) return true;
  const taken = (truth: RelayPattern, other: RelayPattern): boolean =>
    truth.patterns.every((way) => best(way, truth) - best(way, other) < SAME_WITHIN);
  return taken(a, b) && taken(b, a);
}
