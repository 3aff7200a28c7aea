// What a hand meter's readings come to: a verdict, the readings one by one as checks, and the wire to mend.

import type { Metering } from '../plan/index.js';
import { isWrong, tipsOf } from '../plan/index.js';
import type { Taken, Walked } from '../probe/index.js';
import type { JudgementRecord } from '../records/index.js';
import { capitalised, listed, withoutStop } from '../tell/index.js';
import { readText, showsWords, unseenWords } from './meter-sheet.js';

export type MeterConclusion = 'right' | 'one' | 'group' | 'unlisted' | 'broken-off';

export interface MeterJudged {
  conclusion: MeterConclusion;
  judgement: JudgementRecord;
  /** Causes still in question, likeliest first; none of a right unit. */
  left: { id: string; cause: string; chance: number }[];
}

const MOST_NAMED = 4;
const AGAIN = 'Mend it, then measure again from the start, for one fault can hide another.';

export function meterJudged({ probing, end }: Walked, metering: Metering): MeterJudged {
  const checks = [...probing.taken.map((taken) => checkOf(taken, metering)), ...unseenCheck(metering)];
  const wrong = probing.taken.filter((taken) => isTakenWrong(taken, metering));
  const left = (end?.left ?? []).map(({ suspect: { cause }, chance }) => ({ cause, chance }));
  const isRightLeft = left.some(({ cause }) => cause.kind === 'none');
  const isRight = end?.kind === 'one' && isRightLeft && wrong.length === 0;
  const conclusion = isRight ? 'right' : (end?.kind ?? 'broken-off');
  const verdict = isRight ? 'pass' : wrong.length > 0 ? 'fail' : 'cannot-tell';
  const causes = isRightLeft ? [] : left.map(({ cause, chance }) => ({ ...cause, chance }));
  const isFound = verdict === 'fail' && (conclusion === 'one' || conclusion === 'group') && causes.length > 0;
  const sentence = isRight
    ? rightSentence(metering)
    : isFound
      ? `${foundSentence(causes.map(({ cause }) => cause))} ${AGAIN}`
      : otherSentence(wrong, metering, end === undefined);
  const [first] = causes;
  const likelihood = causes.reduce((sum, { chance }) => sum + chance, 0);
  return {
    conclusion,
    left: isRight ? [] : left.map(({ cause: { id, cause }, chance }) => ({ id, cause, chance })),
    judgement: {
      ...{ verdict, sentence, checks, measured: {} },
      findings:
        !isFound || first === undefined
          ? []
          : [
              {
                id: first.id,
                likelihood,
                sentence: foundSentence(causes.map(({ cause }) => cause)),
                nextProbe: AGAIN,
                proof: wrong.map((taken) => wrongText(taken, metering)).slice(0, 2),
                ...(causes.length > 1 ? { inseparable: causes.slice(1).map(({ id }) => id) } : {}),
                causes: causes.map(({ id, owner, sentence: told, nextProbe, chance }) => ({
                  ...{ id, owner, sentence: told, nextProbe, likelihood: chance },
                })),
              },
            ],
    },
  };
}

function rightSentence({ way }: Metering): string {
  return way === 'lamp'
    ? 'Every reading is right, fed through the lamp. What takes the full current to show was not tested.'
    : 'Every reading is right: wired as it should be, as far as a hand meter tells without power. What takes current to show was not tested.';
}

function foundSentence(causes: readonly string[]): string {
  const named = causes.slice(0, MOST_NAMED);
  const more = causes.length - named.length;
  const told = capitalised(listed(more > 0 ? [...named, `${more} more`] : named, 'or'));
  return causes.length > 1 ? `${told}. No reading of this meter parts these.` : `${told}.`;
}

function otherSentence(wrong: readonly Taken[], metering: Metering, isLeft: boolean): string {
  const [first] = wrong;
  if (first === undefined)
    return isLeft
      ? 'Left before it was proven right. Nothing that was read is wrong.'
      : 'Not proven right, because readings are missing or lie in between. Nothing that was read is certainly wrong.';
  const told = `Not right: ${wrongText(first, metering)}`;
  const more = wrong.length > 1 ? `, and ${wrong.length - 1} more` : '';
  return isLeft
    ? `${told}${more}. Left before the cause was found.`
    : `${told}${more}. No single fault of the list gives these readings: there may be two, or a tip slipped. Mend what this reading shows and measure again.`;
}

export function isTakenWrong({ probe, reading }: Taken, { good }: Metering): boolean {
  const right = good.get(probe.id);
  return right !== undefined && reading.kind === 'number' && isWrong(right, reading.value);
}

/** `87 of K1 to ground: 0.3 Ω, must be open`. */
function wrongText(taken: Taken, metering: Metering): string {
  return withoutStop(checkOf(taken, metering).sentence);
}

function checkOf(taken: Taken, metering: Metering): JudgementRecord['checks'][number] {
  const { probe, reading } = taken;
  const right = metering.good.get(probe.id);
  if (right === undefined || reading.kind !== 'number')
    throw new RangeError(`${probe.id} is no meter reading`);
  const { range } = right.reading;
  const unit = range === 'ohms' ? 'Ohm' : 'V';
  const tips = tipsOf(right.reading);
  const { least, most } = right.shows;
  return {
    id: probe.id,
    sentence: `${range === 'diode' ? capitalised(tips) : `From ${tips}`}: ${readText(reading.value, range)}, must be ${showsWords(range, right.shows)}.`,
    ...(Number.isFinite(reading.value) ? { value: reading.value, unit } : {}),
    ...(Number.isFinite(most) ? { lower: least, upper: most } : {}),
    outcome: isTakenWrong(taken, metering) ? 'fail' : 'pass',
    required: true,
    origin: 'model',
  };
}

/** What stays open, so that nobody takes the record for more than it is. */
function unseenCheck({ unseen, way }: Metering): JudgementRecord['checks'] {
  if (unseen.length === 0) return [];
  return [
    {
      id: 'not-seen-by-meter',
      sentence: `${unseenWords(way)} ${unseen.length} faults, such as this: ${unseen[0]?.cause ?? ''}.`,
      outcome: 'not-tested',
      required: false,
      origin: 'model',
    },
  ];
}
