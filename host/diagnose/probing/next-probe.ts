// The measurement that is expected to tell most: of all on the menu, the one whose readings would part the causes that
// are still likely, by expected information (Lindley, Annals of Mathematical Statistics 27 (1956) 986).

import { itemAt } from '../../arrays/index.js';
import { buildUnitCircuit, nominalInput, withoutRipple } from '../../circuit/index.js';
import type { ResolvedUnit } from '../../profile/index.js';
import { amount, significant } from '../../tell/index.js';
import type { Hypothesis } from '../hypotheses.js';
import { CircuitsInPieces } from './circuits-in-pieces.js';
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

export interface NextProbe {
  id: string;
  /** What to measure, and what which reading means. */
  sentence: string;
  /** Expected information. */
  bits: number;
}

/** Two readings that a person would hold apart without doubt. Choice of this program, no source; so are the next three. */
const APART = 4;
/** The menu's order is one of ease; a later measurement must tell so much more. */
const EASE_BITS = 0.01;
/** Less than this is not worth a measurement. */
const LEAST_BITS = 0.15;
const MOST_CANDIDATES = 5;
/** A motor run off a battery is long to simulate, and tells what the rig has told already. */
const LEFT_OUT = new Set(['motor-on-battery']);

/** Undefined when no measurement parts the candidates. */
export function nextProbeOf(unit: ResolvedUnit, candidates: readonly Candidate[]): NextProbe | undefined {
  const likely = [...candidates].sort((a, b) => b.weight - a.weight).slice(0, MOST_CANDIDATES);
  if (likely.length < 2) return undefined;
  let best: (NextProbe & { score: number }) | undefined;
  const asked = likely.map((candidate) => askedOf(unit, candidate));
  for (const [place, choice] of probeMenu(unit).entries()) {
    if (LEFT_OUT.has(choice.id)) continue;
    const outcomes = partedBy(asked, choice);
    const bits = informationOf(outcomes);
    const score = bits - EASE_BITS * place;
    if (outcomes.length < 2 || bits < LEAST_BITS || (best && score <= best.score)) continue;
    best = { id: choice.id, bits, score, sentence: sentenceOf(choice, outcomes) };
  }
  return best && { id: best.id, bits: best.bits, sentence: best.sentence };
}

interface Asked extends Candidate {
  answerTo(choice: ProbeChoice): ProbeAnswer;
}

function askedOf(unit: ResolvedUnit, candidate: Candidate): Asked {
  const circuits = circuitsOf(unit, candidate.hypothesis);
  const answerTo = (choice: ProbeChoice): ProbeAnswer => {
    const answer = candidate.answers[choice.id] ?? choice.ask(circuits);
    candidate.answers[choice.id] = answer;
    return answer;
  };
  return { ...candidate, answerTo };
}

interface Outcome {
  members: Candidate[];
  answer: ProbeAnswer;
}

/** Candidates whose readings a person could not hold apart give one outcome. */
function partedBy(asked: readonly Asked[], choice: ProbeChoice): Outcome[] {
  const outcomes: Outcome[] = [];
  for (const candidate of asked) {
    const answer = candidate.answerTo(choice);
    const same = outcomes.find((outcome) => !isApart(outcome.answer, answer));
    if (same) same.members.push(candidate);
    else outcomes.push({ members: [candidate], answer });
  }
  return outcomes;
}

const isApart = (a: ProbeAnswer, b: ProbeAnswer): boolean =>
  a.readings.some((reading, i) => difference(reading, b.readings[i]) > APART);

const difference = (reading: ProbeReading, other: ProbeReading | undefined): number =>
  other === undefined ? 0 : seenDifference(reading, other.value);

/** Entropy of which outcome comes: what is known after it, as each candidate gives one outcome only. */
function informationOf(outcomes: readonly Outcome[]): number {
  const weights = outcomes.map(({ members }) => members.reduce((sum, { weight }) => sum + weight, 0));
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
