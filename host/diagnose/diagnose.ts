// From readings to ranked findings: posterior over the profile's hypotheses, inseparable ones told together.

import { isThrow, type MeasureResult, REST, readingOf, unloadedSupply } from '../measure/index.js';
import { HEALTHY } from './hypotheses.js';
import type { DiagnosisLibrary, LibraryEntry } from './library.js';
import {
  backgroundLogLikelihood,
  type Evidence,
  endsLimited,
  logLikelihood,
  type Spread,
} from './likelihood.js';
import { nextProbeOf } from './probing/index.js';
import { proofsOf } from './proof.js';
import {
  findingOf,
  grouped,
  LEAST_LIKELIHOOD,
  likeliestFirst,
  MOST_FINDINGS,
  nothingListed,
  posterior,
  type RankedFinding,
} from './ranking.js';
import { rippleTerm, UNLISTED_UNEVEN } from './ripple-evidence.js';
import { sameReadings, shownBy } from './same-readings.js';

export interface DiagnoseRequest {
  library: DiagnosisLibrary;
  seen: MeasureResult;
  stop?: string | undefined;
  /** Relative spread of each feature among good units. */
  spread?: Spread;
  /** What the checks leave to "nothing is wrong", as a log likelihood (0 or less). */
  healthyLog?: number;
}

/** A single cause above this needs proof, not a choice: its own probe stands. */
const SURE = 0.9;
/** A supply that reads less was not sampled. Choice of this program, no source. */
const LEAST_SUPPLY_V = 1;
/** Causes below this are left to a later probe. */
const WORTH_PARTING = 0.01;

/** Ranked findings; likelihoods sum to at most 1, the rest is "nothing on the list". */
export function diagnose(request: DiagnoseRequest): RankedFinding[] {
  const { library, seen } = request;
  const spread = request.spread ?? {};
  const evidence: Evidence = {
    seen,
    trippedIn: request.stop === 'over-current' ? trippedIn(seen) : undefined,
    supplyRatio: supplyRatio(seen, library),
  };
  const scored = library.entries.map((entry) => ({
    entry,
    score:
      scoreOf(entry, evidence, spread) +
      rippleTerm(seen.measured, entry.hypothesis.unevenRipple) +
      (entry.hypothesis.id === HEALTHY ? (request.healthyLog ?? 0) : 0),
  }));
  const { ranked, unknown } = posterior(
    scored,
    backgroundLogLikelihood(evidence) + rippleTerm(seen.measured, UNLISTED_UNEVEN),
  );
  const onlyLimited = endsLimited(seen.segments);
  const good = library.entries.find(({ hypothesis }) => hypothesis.id === HEALTHY)?.patterns[0];
  const withProof = (finding: RankedFinding, entry: LibraryEntry | undefined): RankedFinding => {
    const proof =
      good && entry && finding.id !== HEALTHY ? proofsOf(entry, good, evidence, library.entries) : [];
    return proof.length > 0 ? { ...finding, proof } : finding;
  };
  const shown = (entry: LibraryEntry): LibraryEntry => shownBy(entry, evidence, spread);
  const findings = grouped(ranked, (a, b) => sameReadings(shown(a), shown(b), spread, onlyLimited))
    .map((members) => withProof(findingOf(members), members[0]?.entry))
    .filter(({ likelihood }) => likelihood >= LEAST_LIKELIHOOD)
    .sort(likeliestFirst)
    .slice(0, MOST_FINDINGS);
  const first = findings[0];
  if (first && (first.inseparable || first.likelihood < SURE)) {
    const candidates = ranked
      .filter(({ entry, likelihood }) => likelihood >= WORTH_PARTING && entry.hypothesis.id !== HEALTHY)
      .map(({ entry: { hypothesis, answers }, likelihood }) => ({ hypothesis, answers, weight: likelihood }));
    const probe = nextProbeOf(library.unit, candidates);
    if (probe) findings[0] = { ...first, nextProbe: probe.sentence };
  }
  return [...findings, ...nothingListed(unknown, 'unit')].sort(likeliestFirst);
}

/** Best of the patterns, averaged: each way of showing is as likely as the next. */
function scoreOf(entry: LibraryEntry, evidence: Evidence, spread: Spread): number {
  const scores = entry.patterns.map((pattern) => logLikelihood(evidence, entry.hypothesis, pattern, spread));
  const top = Math.max(...scores);
  const mean = scores.reduce((sum, score) => sum + Math.exp(score - top), 0) / scores.length;
  return Math.log(entry.hypothesis.prior) + top + Math.log(mean);
}

/** The throw, or the rest, in which the over-current stop fell: the last that was commanded before the end. */
function trippedIn(seen: MeasureResult): string {
  const last = seen.segments.findLast(({ of, brief }) => isThrow(of) && brief) ?? seen.segments.at(-1);
  return (last?.of ?? REST).id;
}

function supplyRatio(seen: MeasureResult, library: DiagnosisLibrary): number {
  const healthy = library.entries.find(({ hypothesis }) => hypothesis.id === HEALTHY);
  const own = unloadedSupply(seen.measured);
  const modelled = own && readingOf(healthy?.patterns[0]?.measured ?? {}, own.what, own.of);
  return own && modelled && own.value > LEAST_SUPPLY_V && modelled.value > LEAST_SUPPLY_V
    ? own.value / modelled.value
    : 1;
}
