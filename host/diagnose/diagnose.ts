// From readings to ranked findings: posterior over the profile's hypotheses, inseparable ones told together.

import type { MeasureResult } from '../measure/index.js';
import { HEALTHY } from './hypotheses.js';
import type { DiagnosisLibrary, LibraryEntry } from './library.js';
import {
  backgroundLogLikelihood,
  type Evidence,
  endsLimited,
  logLikelihood,
  type Spread,
} from './likelihood.js';
import { nextProbeOf } from './probing/next-probe.js';
import { proofsOf } from './proof.js';
import { sameReadings } from './same-readings.js';

export interface RankedFinding {
  id: string;
  likelihood: number;
  sentence: string;
  nextProbe: string;
  /** Ids that these readings cannot tell from this one; absent when it stands alone. */
  inseparable?: string[];
  /** The readings that prove it, up to two, each with what a good unit reads. */
  proof?: string[];
}

export interface DiagnoseRequest {
  library: DiagnosisLibrary;
  seen: MeasureResult;
  stop?: string | undefined;
  /** Relative spread of each feature among good units. */
  spread?: Spread;
  /** What the checks leave to "nothing is wrong", as a log likelihood (0 or less). */
  healthyLog?: number;
}

/** Findings below this are not worth a line. */
const LEAST_LIKELIHOOD = 0.01;
const MOST_FINDINGS = 6;
/** A single cause above this needs proof, not a choice: its own probe stands. */
const SURE = 0.9;
/** Causes below this are left to a later probe. */
const WORTH_PARTING = 0.01;
/** Inseparable causes told in words; all of them stand in `inseparable`. */
const MOST_NAMED = 3;

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
      scoreOf(entry, evidence, spread) + (entry.hypothesis.id === HEALTHY ? (request.healthyLog ?? 0) : 0),
  }));
  const background = backgroundLogLikelihood(evidence);
  const top = Math.max(background, ...scored.map(({ score }) => score));
  const total =
    Math.exp(background - top) + scored.reduce((sum, { score }) => sum + Math.exp(score - top), 0);
  const ranked = scored
    .map(({ entry, score }) => ({ entry, likelihood: Math.exp(score - top) / total }))
    .sort((a, b) => b.likelihood - a.likelihood);
  const onlyLimited = endsLimited(seen.segments);
  const good = library.entries.find(({ hypothesis }) => hypothesis.id === HEALTHY)?.patterns[0];
  const withProof = (finding: RankedFinding, entry: LibraryEntry | undefined): RankedFinding => {
    const proof =
      good && entry && finding.id !== HEALTHY ? proofsOf(entry, good, evidence, library.entries) : [];
    return proof.length > 0 ? { ...finding, proof } : finding;
  };
  const groups: (typeof ranked)[] = [];
  for (const candidate of ranked) {
    if (candidate.likelihood < LEAST_LIKELIHOOD / 4) break;
    const group = groups.find(
      ([first]) => first && sameReadings(first.entry, candidate.entry, spread, onlyLimited),
    );
    if (group) group.push(candidate);
    else groups.push([candidate]);
  }
  const findings = groups
    .map((members) => withProof(findingOf(members), members[0]?.entry))
    .filter(({ likelihood }) => likelihood >= LEAST_LIKELIHOOD)
    .sort((a, b) => b.likelihood - a.likelihood)
    .slice(0, MOST_FINDINGS);
  const first = findings[0];
  if (first && (first.inseparable || first.likelihood < SURE)) {
    const candidates = ranked
      .filter(({ entry, likelihood }) => likelihood >= WORTH_PARTING && entry.hypothesis.id !== HEALTHY)
      .map(({ entry, likelihood }) => ({ hypothesis: entry.hypothesis, weight: likelihood }));
    const probe = nextProbeOf(library.unit, candidates);
    if (probe) findings[0] = { ...first, nextProbe: probe.sentence };
  }
  const unknown = Math.exp(background - top) / total;
  if (unknown >= 0.2) findings.push(nothingListed(unknown));
  return findings.sort((a, b) => b.likelihood - a.likelihood);
}

/** Best of the patterns, averaged: each way of showing is as likely as the next. */
function scoreOf(entry: LibraryEntry, evidence: Evidence, spread: Spread): number {
  const scores = entry.patterns.map((pattern) => logLikelihood(evidence, entry.hypothesis, pattern, spread));
  const top = Math.max(...scores);
  const mean = scores.reduce((sum, score) => sum + Math.exp(score - top), 0) / scores.length;
  return Math.log(entry.hypothesis.prior) + top + Math.log(mean);
}

function findingOf(members: readonly { entry: LibraryEntry; likelihood: number }[]): RankedFinding {
  const [first, ...others] = members.map(({ entry }) => entry.hypothesis);
  const likelihood = members.reduce((sum, member) => sum + member.likelihood, 0);
  const named = others.slice(0, MOST_NAMED).map(({ sentence }) => sentence.replace(/\.$/, ''));
  const rest = others.length - named.length;
  const also = others.length
    ? ` These readings are the same for: ${named.join('; or ')}${rest > 0 ? `; and ${rest} more` : ''}.`
    : '';
  return {
    id: first!.id,
    likelihood,
    sentence: `${first!.sentence}${also}`,
    nextProbe: first!.nextProbe,
    ...(others.length ? { inseparable: others.map(({ id }) => id) } : {}),
  };
}

const nothingListed = (likelihood: number): RankedFinding => ({
  id: 'not-in-list',
  likelihood,
  sentence: 'Nothing on the list of faults explains these readings well.',
  nextProbe: 'Check the profile against the unit on the bench, then repeat the run.',
});

/** The throw, or the rest, in which the over-current stop fell: the last that was commanded before the end. */
function trippedIn(seen: MeasureResult): string {
  const last = [...seen.segments].reverse().find(({ position, brief }) => position !== 'rest' && brief);
  return last?.name ?? seen.segments.at(-1)?.name ?? 'rest';
}

function supplyRatio(seen: MeasureResult, library: DiagnosisLibrary): number {
  const healthy = library.entries.find(({ hypothesis }) => hypothesis.id === HEALTHY);
  const unloaded = seen.measured.restSupplyVoltageV ? 'restSupplyVoltageV' : 'limitedRestSupplyVoltageV';
  const own = seen.measured[unloaded]?.value;
  const modelled = healthy?.patterns[0]?.measured[unloaded]?.value;
  return own !== undefined && modelled !== undefined && own > 1 && modelled > 1 ? own / modelled : 1;
}
