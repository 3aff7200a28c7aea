// From readings to ranked findings: posterior over the profile's hypotheses, inseparable ones told together.

import { CHANNELS, type Channel } from '../capture/index.js';
import type { MotorMoves } from '../circuit/index.js';
import {
  isFullThrow,
  isThrow,
  type Measured,
  type MeasureResult,
  perhapsCutOff,
  REST,
  readingOf,
  UNSEEN_SUPPLY,
  unloadedSupply,
} from '../measure/index.js';
import {
  areOneMotor,
  asAnotherMotor,
  besideSoftSupply,
  explains,
  type Scored,
} from './beside-another-motor.js';
import { CONTRADICTED, isContradicted, turnsIn } from './contradicted.js';
import { type DiagnosisLibrary, goodOf, type LibraryEntry, type Pattern } from './library.js';
import {
  backgroundLogLikelihood,
  type Evidence,
  endsLimited,
  logLikelihood,
  type Spread,
  unsampledIn,
} from './likelihood.js';
import { ANOTHER_MOTOR, HEALTHY } from './nothing-wrong.js';
import { type OwnMotor, spreadNear, withOwnMotor } from './own-motor.js';
import { fromAnyStart } from './own-start.js';
import { onOwnSupply, softSupply } from './own-supply.js';
import { nextProbeOf } from './probing/index.js';
import { proofsOf } from './proof.js';
import {
  clipsFirst,
  findingOf,
  grouped,
  LEAST_LIKELIHOOD,
  likeliestFirst,
  MOST_FINDINGS,
  nothingListed,
  posterior,
  type Ranked,
  type RankedFinding,
} from './ranking.js';
import { rippleTerm, UNLISTED_UNEVEN } from './ripple-evidence.js';
import { sameReadings, shownBy, unseenOf } from './same-readings.js';
import { SETS_IN_PART, settingIn, toldSince } from './sets-in.js';
import { withoutThrownAgain } from './thrown-again.js';

export interface DiagnoseRequest {
  library: DiagnosisLibrary;
  seen: MeasureResult;
  stop?: string | undefined;
  /** Readings of which only a lower bound is known; `seen` is without them. */
  bounds?: Measured | undefined;
  /** Relative spread of each feature among good units. */
  spread?: Spread;
  /** What the checks leave to "nothing is wrong", added to its log likelihood. */
  healthyLog?: number;
  /** The same of causes whose readings are those of a good unit: what failed is in the readings themselves. */
  idleLog?: number;
  /** The same to a good unit on a supply that the run read to be soft. */
  onSoftLog?: number;
  /** The motor as the run shows it, where nobody has its numbers. */
  own?: OwnMotor | undefined;
  /** Which way its numbers lie outside the usual ones, as far as that is told; absent where no check found it other than usual. */
  beyond?: MotorMoves | undefined;
  /** Whether nothing says that the motor stands. */
  turns?: boolean;
  /** Ids of the throws in which it was read to stand. */
  standing?: ReadonlySet<string>;
  /** Whether a rig fed the run, by clips of its own. */
  onRig?: boolean;
}

/** A single cause above this needs proof, not a choice: its own probe stands. */
const SURE = 0.9;
/** A supply that reads less was not sampled. Choice of this program, no source. */
const LEAST_SUPPLY_V = 1;
/** What pulses or stops a motor by itself is no circuit that the list could hold. */
const BEYOND = ' A motor with an electronic module is beyond this rig.';
/** Causes below this are left to a later probe. */
const WORTH_PARTING = 0.01;

/** Ranked findings; likelihoods sum to at most 1, the rest is "nothing on the list". */
export function diagnose(asked: DiagnoseRequest): RankedFinding[] {
  const { library: all } = asked;
  const run = withoutThrownAgain(asked.seen, all, goodOf(all));
  const soft = softSupply(run, all);
  const library = soft ? onOwnSupply(all, soft) : fromAnyStart(all, run);
  const request = { ...asked, seen: run, library };
  const unsampled = unsampledIn(run, goodOf(all));
  const made = madeOf(run, goodOf(all));
  const unseen = unseenOf(all, { unsampled, notSampled: run.notSampled, ...(made ? { made } : {}) });
  const asRead = weighedBy(request, unseen);
  const cut = isNothingListed(request, asRead) ? asCutOff(request) : undefined;
  const usual = cut ? weighedBy(cut, unseen) : asRead;
  if (cut && !isNothingListed(cut, usual)) return findingsOf(cut, usual);
  return findingsOfOwn(request, asRead, unseen);
}

/** With the motor as the run shows it, where nobody has its numbers. */
function findingsOfOwn(
  request: DiagnoseRequest,
  usual: Weighed,
  unseen: ReadonlySet<string>,
): RankedFinding[] {
  const { own, seen } = request;
  if (own === undefined) return findingsOf(request, usual);
  const { library, evidence, spread, scored } = usual;
  const supplyV = library.supplyV * evidence.supplyRatio;
  const near = withOwnMotor(library, own, { scored, supplyV });
  return findingsOf(
    request,
    weighedBy({ ...request, library: near, spread: spreadNear(seen, spread, own.isRough) }, unseen),
  );
}

/** What was read may be no more than the instrument let through: asked only where nothing on the list explains it as it is. */
function asCutOff(request: DiagnoseRequest): DiagnoseRequest | undefined {
  const cut = perhapsCutOff(request.seen);
  if (cut === undefined) return undefined;
  const parted = (isBound: boolean): Measured =>
    Object.fromEntries(Object.entries(cut).filter(([, { atLeast }]) => (atLeast === true) === isBound));
  return {
    ...request,
    seen: { ...request.seen, measured: parted(false) },
    bounds: { ...request.bounds, ...parted(true) },
  };
}

/** Ids of the stretches that were seen; undefined where none of the throws at the full feed that a good unit makes is missing. */
function madeOf({ segments }: MeasureResult, good: Pattern | undefined): ReadonlySet<string> | undefined {
  const made = new Set(segments.map(({ of }) => of.id));
  const isWhole = good?.segments.every(({ of }) => !isFullThrow(of) || made.has(of.id)) ?? true;
  // A run that was stopped before the full feed, or shows no throw, is told by what it has.
  return isWhole || !segments.some(({ of }) => isFullThrow(of)) ? undefined : made;
}

/** Every cause of a library with its score. */
interface Weighed {
  library: DiagnosisLibrary;
  spread: Spread;
  evidence: Evidence;
  scored: Scored[];
}

function weighedBy(
  {
    library,
    seen,
    stop,
    spread = {},
    healthyLog = 0,
    idleLog = 0,
    onSoftLog = 0,
    beyond,
    turns = false,
    standing = new Set(),
    own,
    bounds,
  }: DiagnoseRequest,
  unseen: ReadonlySet<string>,
): Weighed {
  const evidence: Evidence = {
    seen,
    trippedIn: stop === 'over-current' ? trippedIn(seen) : undefined,
    supplyRatio: supplyRatio(seen, library),
    unsampled: unsampledIn(seen, goodOf(library)),
    bounds,
  };
  const good = goodOf(library);
  const isSupplyUnseen = seen.notSampled.includes('supplyVoltageV');
  /** Nobody has the motor's numbers, and a current alone shows neither motor nor supply by itself. */
  const isCurrentAlone =
    isSupplyUnseen &&
    LEADS.every((lead) => seen.notSampled.includes(lead)) &&
    own === undefined &&
    library.entries.some(({ hypothesis }) => hypothesis.id === ANOTHER_MOTOR);
  const seenEntries = library.entries
    .filter(({ hypothesis }) => !unseen.has(hypothesis.id))
    .map((entry) => settingIn(entry, good));
  const ratios = isSupplyUnseen ? UNSEEN_RATIOS : [evidence.supplyRatio];
  const scored = seenEntries.map((entry) => ({
    entry,
    score:
      scoreOf(entry, evidence, { ratios, spread, good }) +
      rippleTerm(seen.measured, entry.hypothesis.unevenRipple) +
      (entry.hypothesis.id === HEALTHY ? healthyLog : 0) +
      (library.ownSupply && entry.hypothesis.isOfSupply ? onSoftLog : 0) +
      (turns && entry.hypothesis.stands ? STANDS_UNSEEN : 0) +
      (isSupplyUnseen && !isCurrentAlone && entry.hypothesis.isOfSupply ? SUPPLY_UNSEEN : 0),
  }));
  const likened = isCurrentAlone ? besideSoftSupply(scored) : scored;
  const weighed = withoutIdle(likened, library, { healthyLog, idleLog, onSoftLog });
  const beside = asAnotherMotor(weighed, seen, beyond).map((one) =>
    standing.size > 0 && one.entry.patterns.every((pattern) => turnsIn(pattern, standing))
      ? { ...one, score: one.score + CONTRADICTED }
      : one,
  );
  return { library, spread, evidence, scored: beside };
}

/** A supply that nobody sampled, in steps as small as good leads and contacts drop. */
const UNSEEN_STEPS = 16;
const UNSEEN_RATIOS = Array.from(
  { length: UNSEEN_STEPS + 1 },
  (_, k) => UNSEEN_SUPPLY.least + ((UNSEEN_SUPPLY.most - UNSEEN_SUPPLY.least) * k) / UNSEEN_STEPS,
);

/** What explains the readings less than this better than a good unit would not have failed a check either. Choice of this program, no source. */
const EXPLAINS = Math.log(20);

/**
 * A check that failed speaks as much against a cause whose readings are those of a good unit, a leak too small to be seen
 * for one, as against nothing being wrong.
 */
function withoutIdle(
  scored: readonly Scored[],
  library: DiagnosisLibrary,
  { healthyLog, idleLog, onSoftLog }: { healthyLog: number; idleLog: number; onSoftLog: number },
): Scored[] {
  const good = scored.find(({ entry }) => entry.hypothesis.id === HEALTHY);
  if (good === undefined || idleLog >= 0) return [...scored];
  const onSoft = scored.find(({ entry }) => library.ownSupply && entry.hypothesis.isOfSupply);
  const goodScore = Math.max(explains(good) - healthyLog, ...(onSoft ? [explains(onSoft) - onSoftLog] : []));
  return scored.map((one) => {
    if (one === good || one === onSoft) return one;
    const over = Math.min(1, Math.max(0, (explains(one) - goodScore) / EXPLAINS));
    return { ...one, score: one.score + idleLog * (1 - over) };
  });
}

const LEADS = ['leadAVoltageV', 'leadBVoltageV'] as const;

/** That a motor stands and no throw shows it. Choice of this program, no source. */
const STANDS_UNSEEN = Math.log(0.01);

/**
 * What a supply that nobody sampled is like stays open: on a bench with a tired battery, a charger or thin leads 0.1 to
 * 0.5 Ohm are met oftener than a bad joint of that size (common practice, no source).
 */
const SUPPLY_UNSEEN = Math.log(20);

/** Adds to every cause of a finding how it stands against the good unit, as its readings alone have it. */
function overGood(
  ranked: readonly Ranked<LibraryEntry>[],
  healthyLog: number,
): (finding: RankedFinding) => RankedFinding {
  const byCause = new Map(
    ranked.map(({ entry: { hypothesis }, likelihood }) => [
      hypothesis.id,
      Math.log(likelihood / hypothesis.prior) - (hypothesis.id === HEALTHY ? healthyLog : 0),
    ]),
  );
  const good = byCause.get(HEALTHY);
  return (finding) =>
    good === undefined || finding.causes === undefined
      ? finding
      : {
          ...finding,
          causes: finding.causes.map((cause) => ({
            ...cause,
            overGood: (byCause.get(cause.id) ?? Number.NEGATIVE_INFINITY) - good,
          })),
        };
}

/** What a run has read in throws that were made to their end; nothing where it was stopped, or kept from the full feed. */
const readWhole = ({ segments, notSampled }: MeasureResult, stop: string | undefined): ReadonlySet<Channel> =>
  new Set(
    stop !== undefined || endsLimited(segments)
      ? []
      : CHANNELS.filter((channel) => !notSampled.includes(channel)),
  );

const posteriorOf = (
  seen: MeasureResult,
  { evidence, scored }: Pick<Weighed, 'evidence' | 'scored'>,
): { ranked: Ranked<LibraryEntry>[]; unknown: number } =>
  posterior(scored, backgroundLogLikelihood(evidence) + rippleTerm(seen.measured, UNLISTED_UNEVEN));

const isNothingListed = ({ seen }: DiagnoseRequest, weighed: Weighed): boolean =>
  posteriorOf(seen, weighed).unknown > 0.5;

function findingsOf(
  { seen, stop, beyond = {}, healthyLog = 0, onRig = false }: DiagnoseRequest,
  { library, spread, evidence, scored }: Weighed,
): RankedFinding[] {
  const { ranked, unknown } = posteriorOf(seen, { evidence, scored });
  const { notSampled } = seen;
  const part = { onlyLimited: endsLimited(seen.segments), unsampled: evidence.unsampled, notSampled };
  const good = goodOf(library);
  const againstGood = overGood(ranked, healthyLog);
  const onStiff = library.entries.find(({ hypothesis }) => hypothesis.id === HEALTHY)?.patterns[0];
  const withProof = (finding: RankedFinding, entry: LibraryEntry | undefined): RankedFinding => {
    const usual = entry?.hypothesis.isOfSupply ? onStiff : good;
    const proof =
      usual && entry && finding.id !== HEALTHY ? proofsOf(entry, usual, evidence, library.entries) : [];
    return proof.length > 0 ? { ...finding, proof } : finding;
  };
  const shown = (entry: LibraryEntry): LibraryEntry => shownBy(entry, evidence, spread);
  const told = ranked.map(({ entry, likelihood }) =>
    entry.patterns.some(({ since }) => since)
      ? { entry: toldSince(shown(entry)), likelihood }
      : { entry, likelihood },
  );
  const findings = grouped(told, (a, b) => {
    // A good unit on a soft supply is never folded into a fault.
    if (library.ownSupply && (a.hypothesis.isOfSupply || b.hypothesis.isOfSupply)) return false;
    return areOneMotor(a, b, beyond) || sameReadings(shown(a), shown(b), spread, part);
  })
    .map((members) => (onRig ? clipsFirst(members) : members))
    .map((members) => withProof(againstGood(findingOf(members)), members[0]?.entry))
    .filter(({ likelihood }) => likelihood >= LEAST_LIKELIHOOD)
    .sort(likeliestFirst)
    .slice(0, MOST_FINDINGS);
  const first = findings[0];
  if (first && (first.inseparable || first.likelihood < SURE)) {
    const candidates = ranked
      .filter(({ entry, likelihood }) => likelihood >= WORTH_PARTING && entry.hypothesis.id !== HEALTHY)
      .map(({ entry: { hypothesis, answers }, likelihood }) => ({ hypothesis, answers, weight: likelihood }));
    const next = nextProbeOf(library.unit, candidates, readWhole(seen, stop));
    if (next) {
      const { sentence, bits: _, ...probe } = next;
      findings[0] = { ...first, nextProbe: sentence, probe };
    }
  }
  return [...findings, ...nothingListed(unknown, 'unit', BEYOND)].sort(likeliestFirst);
}

/**
 * Best of the patterns, averaged: each way of showing is as likely as the next, but for those that set in during the run.
 * @param ratios of the supply to the profile's, each as likely as the next
 */
function scoreOf(
  entry: LibraryEntry,
  evidence: Evidence,
  { ratios, spread, good }: { ratios: readonly number[]; spread: Spread; good: Pattern | undefined },
): number {
  const scores = entry.patterns.map((pattern) => {
    const ofRatios = ratios.map((supplyRatio) =>
      logLikelihood({ ...evidence, supplyRatio }, entry.hypothesis, pattern, spread),
    );
    return logMean(ofRatios) + (good && isContradicted(evidence.seen, pattern, good) ? CONTRADICTED : 0);
  });
  const later = entry.patterns.filter(({ since }) => since !== undefined).length;
  const always = entry.patterns.length - later;
  const laterPart = later === 0 ? 0 : SETS_IN_PART;
  const top = Math.max(...scores);
  const mean = scores.reduce((sum, score, i) => {
    const isLater = entry.patterns[i]?.since !== undefined;
    return sum + Math.exp(score - top) * (isLater ? laterPart / later : (1 - laterPart) / always);
  }, 0);
  return Math.log(entry.hypothesis.prior) + top + Math.log(mean);
}

/** Log of the mean of what these are the logs of. */
function logMean(logs: readonly number[]): number {
  const top = Math.max(...logs);
  if (logs.length === 1 || !Number.isFinite(top)) return top;
  return top + Math.log(logs.reduce((sum, one) => sum + Math.exp(one - top), 0) / logs.length);
}

/** The throw, or the rest, in which the over-current stop fell: the last that was commanded before the end. */
function trippedIn(seen: MeasureResult): string {
  const last = seen.segments.findLast(({ of, brief }) => isThrow(of) && brief) ?? seen.segments.at(-1);
  return (last?.of ?? REST).id;
}

function supplyRatio(seen: MeasureResult, library: DiagnosisLibrary): number {
  const own = unloadedSupply(seen.measured);
  const modelled = own && readingOf(goodOf(library)?.measured ?? {}, own.what, own.of);
  return own && modelled && own.value > LEAST_SUPPLY_V && modelled.value > LEAST_SUPPLY_V
    ? own.value / modelled.value
    : 1;
}
