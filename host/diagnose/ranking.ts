// From log likelihoods to findings: posterior, causes that read the same told together, and "nothing on the list".
// What a reading is, and how well a cause explains it, is up to whoever scores.

import type { Fault } from '../circuit/index.js';
import { known } from '../fields/index.js';
import { inWords, lowered, withoutStop } from '../tell/index.js';
import type { Acted } from './probing/index.js';

export interface RankedFinding {
  id: string;
  likelihood: number;
  sentence: string;
  nextProbe: string;
  /** What that probe is, where it was chosen from all that a hand can do: its action, whether outputs are off, its minutes. */
  probe?: Acted & { id: string };
  /** Ids that these readings cannot tell from this one; absent when it stands alone. */
  inseparable?: string[];
  /** The readings that prove it, up to two, each with what a good unit reads. */
  proof?: string[];
  /** Every cause that it speaks of, the likeliest first; absent where it names none of the list. */
  causes?: RankedCause[];
}

/** What a finding says of one cause. */
export type Cause = Pick<Fault, 'id' | 'owner' | 'sentence' | 'nextProbe' | 'isPassing' | 'readsAsUnits'>;

/** A cause with its own likelihood, where a finding tells several as one. */
export interface RankedCause extends Cause {
  likelihood: number;
  /** How much better it explains the readings than a good unit does, weights aside, as a logarithm; absent where none was asked. */
  overGood?: number;
}

/** Findings below this are not worth a line. These weights are choices of this program, no source. */
export const LEAST_LIKELIHOOD = 0.01;
export const MOST_FINDINGS = 6;
/** Two causes whose ideal readings differ in likelihood by less than this (e^2, seven to one) are told as one. */
export const SAME_WITHIN = 2;
/** Inseparable causes told in words; all of them stand in `inseparable`. */
const MOST_NAMED = 3;
/** From here "nothing on the list" is a finding of its own. */
const LEAST_UNKNOWN = 0.2;

/** Student's density with few degrees of freedom: one reading far off cannot outvote all the others. */
const TAIL_DOF = 4;
/** A reading this many deviations off explains nothing. */
const BACKGROUND_Z = 3.2;
/** Chance, before anything was measured, that the matter is not on the list (common practice, no source). */
const BACKGROUND_PRIOR = 0.3;

/** Log likelihood of a reading `z` deviations off. */
export const numberTerm = (z: number): number => (-(TAIL_DOF + 1) / 2) * Math.log1p((z * z) / TAIL_DOF);

/** Of a reading that the cause does not explain. */
export const UNEXPLAINED = numberTerm(BACKGROUND_Z);

/** Log likelihood of `count` readings, each counted as `shared`, when nothing on the list is the matter. */
export const backgroundLog = (count: number, shared: number): number =>
  Math.log(BACKGROUND_PRIOR) + shared * count * UNEXPLAINED;

export interface Ranked<T> {
  entry: T;
  likelihood: number;
}

/** Posterior of every entry, most likely first, and what is left to nothing on the list. */
export function posterior<T>(
  scored: readonly { entry: T; score: number }[],
  background: number,
): { ranked: Ranked<T>[]; unknown: number } {
  const top = Math.max(background, ...scored.map(({ score }) => score));
  const total =
    Math.exp(background - top) + scored.reduce((sum, { score }) => sum + Math.exp(score - top), 0);
  const ranked = scored
    .map(({ entry, score }) => ({ entry, likelihood: Math.exp(score - top) / total }))
    .sort((a, b) => b.likelihood - a.likelihood);
  return { ranked, unknown: Math.exp(background - top) / total };
}

/** Those that read the same side by side, the likeliest of each group first. */
export function grouped<T>(ranked: readonly Ranked<T>[], isSame: (a: T, b: T) => boolean): Ranked<T>[][] {
  const groups: Ranked<T>[][] = [];
  for (const candidate of ranked) {
    if (candidate.likelihood < LEAST_LIKELIHOOD / 4) break;
    const group = groups.find(([first]) => first && isSame(first.entry, candidate.entry));
    if (group) group.push(candidate);
    else groups.push([candidate]);
  }
  return groups;
}

/** A clip that explains less than this part of what the likeliest of its group does is not pressed first. Choice of this program, no source. */
const PRESSED_PART = 0.1;

/** `members` with the rig's own clip in front where it reads like them: ten seconds of pressing tell it from a joint. */
export function clipsFirst<T extends { hypothesis: Cause }>(members: readonly Ranked<T>[]): Ranked<T>[] {
  const most = members[0]?.likelihood ?? 0;
  const isPressed = ({ entry: { hypothesis }, likelihood }: Ranked<T>): boolean =>
    hypothesis.readsAsUnits === true && likelihood >= PRESSED_PART * most;
  return [...members.filter(isPressed), ...members.filter((member) => !isPressed(member))];
}

/** One finding: of a cause by itself, or of several that read the same, told as one of these. */
export function findingOf(members: readonly Ranked<{ hypothesis: Cause }>[]): RankedFinding {
  const causes = members.map(({ entry: { hypothesis }, likelihood }): RankedCause => {
    const { id, owner, sentence, nextProbe, isPassing, readsAsUnits } = hypothesis;
    return { id, owner, sentence, nextProbe, ...known({ isPassing, readsAsUnits }), likelihood };
  });
  const [first, ...others] = causes;
  const named = causes.slice(0, 1 + MOST_NAMED).map(({ sentence }) => lowered(withoutStop(sentence)));
  const rest = causes.length - named.length;
  const words = [...named, ...(rest > 0 ? [`${rest} more`] : [])];
  return {
    id: first!.id,
    likelihood: members.reduce((sum, { likelihood }) => sum + likelihood, 0),
    sentence: others.length
      ? `One of these ${inWords(causes.length)}, which read the same: ${words.join('; or ')}.`
      : first!.sentence,
    nextProbe: first!.nextProbe,
    ...(others.length ? { inseparable: others.map(({ id }) => id) } : {}),
    causes,
  };
}

/** None while the list explains the readings; `what` is on the bench: `unit`, `relay`; `beyond` what no run of it tells. */
export function nothingListed(unknown: number, what: string, beyond = ''): RankedFinding[] {
  if (unknown < LEAST_UNKNOWN) return [];
  return [
    {
      id: 'not-in-list',
      likelihood: unknown,
      sentence: 'Nothing on the list of faults explains these readings well.',
      nextProbe: `Check the profile against the ${what} on the bench, then repeat the run.${beyond}`,
    },
  ];
}

export const likeliestFirst = (a: RankedFinding, b: RankedFinding): number => b.likelihood - a.likelihood;
