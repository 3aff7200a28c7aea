// The probe that is expected to tell most a minute: of all that a hand can do, the one whose answers would part the causes
// that are still likely, by expected information (Lindley, Annals of Mathematical Statistics 27 (1956) 986).

import { itemAt } from '../../arrays/index.js';
import type { Channel } from '../../capture/index.js';
import { buildUnitCircuit, nominalInput, withoutRipple } from '../../circuit/index.js';
import type { ResolvedUnit } from '../../profile/index.js';
import { amount, capitalised, significant } from '../../tell/index.js';
import type { Hypothesis } from '../hypotheses.js';
import { type Acted, byAction } from './actions.js';
import { CircuitsInPieces } from './circuits-in-pieces.js';
import { type HandProbe, handProbes } from './hand-probes.js';
import { probeMenu } from './menu.js';
import type { ProbeAnswer, ProbeChoice, ProbeReading } from './probe.js';
import { seenDifference } from './seen-difference.js';

export interface Candidate {
  hypothesis: Hypothesis;
  /** Relative weight of what is still likely. */
  weight: number;
  /** What it is known to read, by the probe's id; what is asked is added. */
  answers: Record<string, ProbeAnswer>;
}

export interface NextProbe extends Acted {
  id: string;
  /** What to measure, and what which reading means. */
  sentence: string;
  /** Expected information. */
  bits: number;
}

/** Two readings that a person would hold apart without doubt. Choice of this program, no source; so are the next three. */
const APART = 4;
/** Less than this is not worth a measurement. */
const LEAST_BITS = 0.15;
const MOST_CANDIDATES = 5;
/** Less apart than this part, in bits a minute, are as good as one another: the minutes are no truer. */
const LEAST_GAIN = 0.1;
/** From this chance on, a yes is what the cause would give. */
const YES = 0.5;
/** A motor run off a battery is long to simulate, and tells what the rig has told already. */
const LEFT_OUT = new Set(['motor-on-battery']);

/**
 * Of what eyes, fingers and a meter can do, what tells most a minute; of two that tell the same, the one that a good hand
 * does first. Undefined when nothing parts the candidates.
 * @param read what a run has read in whole throws: reading it again tells nothing
 */
export function nextProbeOf(
  unit: ResolvedUnit,
  candidates: readonly Candidate[],
  read: ReadonlySet<Channel> = new Set(),
): NextProbe | undefined {
  const likely = [...candidates].sort((a, b) => b.weight - a.weight).slice(0, MOST_CANDIDATES);
  if (likely.length < 2) return undefined;
  const causes = likely.map(({ hypothesis }) => hypothesis);
  let best: Weighed | undefined;
  const take = (one: Weighed): void => {
    if (one.bits >= LEAST_BITS && (best === undefined || isBefore(one, best))) best = one;
  };
  for (const probe of handProbes(unit, causes)) take(byHandOf(likely, probe));
  const asked = likely.map((candidate) => askedOf(unit, candidate));
  const open = entropyOf(likely.map(({ weight }) => weight));
  for (const choice of probeMenu(unit)) {
    // No circuit is solved for what could not tell more a minute even if it told everything.
    const isWorthSolving = best === undefined || isBefore({ ...choice, bits: open }, best);
    const isRead = choice.reads?.every((channel) => read.has(channel)) ?? false;
    if (isWorthSolving && !isRead && !LEFT_OUT.has(choice.id)) take(measuredBy(asked, choice));
  }
  if (best === undefined) return undefined;
  const { id, does, state, costMin, bits } = best;
  return { id, does, state, costMin, bits, sentence: best.sentence() };
}

/** More a minute, or as much and earlier in the order of a good hand; what is as good as another and as early comes behind it. */
function isBefore(one: Acted & { bits: number }, other: Acted & { bits: number }): boolean {
  const [mine, theirs] = [one.bits / one.costMin, other.bits / other.costMin];
  if (Math.abs(mine - theirs) > LEAST_GAIN * Math.max(mine, theirs)) return mine > theirs;
  return byAction(one, other) < 0;
}

interface Weighed extends Acted {
  id: string;
  bits: number;
  sentence(): string;
}

function measuredBy(asked: readonly Asked[], choice: ProbeChoice): Weighed {
  const { id, does, state, costMin } = choice;
  const outcomes = partedBy(asked, choice);
  const bits = outcomes.length < 2 ? 0 : informationOf(outcomes);
  return { id, does, state, costMin, bits, sentence: () => sentenceOf(choice, outcomes) };
}

/** What an answer that may be wrong is expected to tell: entropy of the answer, less what it has under each cause. */
function byHandOf(likely: readonly Candidate[], probe: HandProbe): Weighed {
  const { id, does, state, costMin, words } = probe;
  const total = likely.reduce((sum, { weight }) => sum + weight, 0);
  const answers = likely.map((candidate) => ({ candidate, yes: probe.yes(candidate.hypothesis) }));
  const mean = (of: (yes: number) => number): number =>
    answers.reduce((sum, { candidate, yes }) => sum + (candidate.weight / total) * of(yes), 0);
  const bits = Math.max(0, binaryEntropy(mean((yes) => yes)) - mean(binaryEntropy));
  const sentence = (): string => {
    const isAsked = (each: readonly Candidate[]): boolean =>
      each.length === 1 && each[0]?.hypothesis.id === probe.of;
    const members = (isYes: boolean): Candidate[] =>
      answers.filter(({ yes }) => yes >= YES === isYes).map(({ candidate }) => candidate);
    const told = (
      [
        ['yes', members(true), probe.ifYes],
        ['no', members(false), undefined],
      ] as const
    ).flatMap(([word, each, then]) =>
      each.length === 0
        ? []
        : [
            `${word}: ${isAsked(each) ? 'that is it' : causeOf(each)}${then === undefined ? '' : ` (${then})`}`,
          ],
    );
    return `${words} ${capitalised(told.join('; '))}.`;
  };
  return { id, does, state, costMin, bits, sentence };
}

const binaryEntropy = (yes: number): number =>
  [yes, 1 - yes].reduce((sum, p) => (p > 0 ? sum - p * Math.log2(p) : sum), 0);

interface Asked extends Candidate {
  answerTo(choice: ProbeChoice): ProbeAnswer;
  /** What the probe changes, where it changes the circuit: what was there before, the rig has read already. */
  changeBy(choice: ProbeChoice): ProbeReading[];
}

function askedOf(unit: ResolvedUnit, candidate: Candidate): Asked {
  const circuits = circuitsOf(unit, candidate.hypothesis);
  const kept = (id: string, ask: ProbeChoice['ask']): ProbeAnswer => {
    const answer = candidate.answers[id] ?? ask(circuits);
    candidate.answers[id] = answer;
    return answer;
  };
  return {
    ...candidate,
    answerTo: ({ id, ask }) => kept(id, ask),
    changeBy: ({ id, ask, before }) => {
      const { readings } = kept(id, ask);
      const first = before && kept(`${id} before`, before).readings;
      return readings.map((one, i) => ({ ...one, value: one.value - (first?.[i]?.value ?? 0) }));
    },
  };
}

interface Outcome {
  members: Candidate[];
  answer: ProbeAnswer;
  /** What tells it from the others. */
  change: ProbeReading[];
}

/** Candidates whose readings a person could not hold apart give one outcome. */
function partedBy(asked: readonly Asked[], choice: ProbeChoice): Outcome[] {
  const outcomes: Outcome[] = [];
  for (const candidate of asked) {
    const change = candidate.changeBy(choice);
    const same = outcomes.find((outcome) => !isApart(outcome.change, change));
    if (same) same.members.push(candidate);
    else outcomes.push({ members: [candidate], answer: candidate.answerTo(choice), change });
  }
  return outcomes;
}

const isApart = (a: readonly ProbeReading[], b: readonly ProbeReading[]): boolean =>
  a.some((reading, i) => difference(reading, b[i]) > APART);

const difference = (reading: ProbeReading, other: ProbeReading | undefined): number =>
  other === undefined ? 0 : seenDifference(reading, other.value);

/** Entropy of which outcome comes: what is known after it, as each candidate gives one outcome only. */
const informationOf = (outcomes: readonly Outcome[]): number =>
  entropyOf(outcomes.map(({ members }) => members.reduce((sum, { weight }) => sum + weight, 0)));

function entropyOf(weights: readonly number[]): number {
  const total = weights.reduce((sum, weight) => sum + weight, 0);
  return weights.reduce((sum, weight) => sum - (weight / total) * Math.log2(weight / total), 0);
}

const MOST_TOLD = 3;

/** What each outcome would read: each by the reading that parts it best from the others told. */
function sentenceOf({ question }: ProbeChoice, outcomes: readonly Outcome[]): string {
  const told = outcomes.slice(0, MOST_TOLD);
  let label = '';
  const meanings = told.map((outcome) => {
    const others = told.filter((other) => other !== outcome);
    const { reading } = outcome.answer.readings
      .map((one, i) => ({
        reading: one,
        parts: Math.min(...others.map(({ answer }) => difference(one, answer.readings[i]))),
      }))
      .reduce((most, each) => (each.parts > most.parts ? each : most));
    const where = reading.label === label ? '' : `${reading.label} `;
    label = reading.label;
    return `${where}${valueText(reading)}: ${causeOf(outcome.members)}`;
  });
  return `${question}. ${meanings.join('; ')}.`;
}

function causeOf(members: readonly Candidate[]): string {
  const { cause } = itemAt(members, 0).hypothesis;
  const others = members.length - 1;
  return others > 0 ? `${cause}, or ${others} more` : cause;
}

function valueText(reading: ProbeReading): string {
  if (Number.isNaN(reading.value)) return 'nothing';
  const { value, unit } = reading;
  if (unit === 'Ohm') {
    if (!(value < 1e5)) return 'open';
    if (value >= 1000) return significant(value / 1000, 2, 'kΩ');
    return value < 10 ? amount(value, unit, 1) : significant(value, 2, unit);
  }
  return amount(value, unit, 1);
}

/** The nominal unit with the hypothesis in it, at its middle strength. */
function circuitsOf(unit: ResolvedUnit, hypothesis: Hypothesis): CircuitsInPieces {
  const good = withoutRipple(nominalInput(unit));
  const edits = itemAt(hypothesis.ways, Math.floor(hypothesis.ways.length / 2));
  return new CircuitsInPieces(unit, [{ ...hypothesis, edits }], (faults) =>
    buildUnitCircuit({ ...good, faults }),
  );
}
