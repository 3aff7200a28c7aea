// What the ripples of a turn say of each hypothesis, where the profile's segments let them be told one by one.

import {
  type Measured,
  type QuantityName,
  type RunStretch,
  readingOf,
  stretchWords,
} from '../measure/index.js';

/** Once a turn the current may swing this many times as far as a ripple: shafts and worms run a little out of true (common practice, no source). */
export const RIPPLE_SWING = 2;
/** Chance of uneven ripples without a bad segment, and when the cause is not on the list. Choices of this program, no source. */
const STRAY_UNEVEN = 0.002;
export const UNLISTED_UNEVEN = 0.05;

/** Log likelihood of the run's ripples for a cause that makes them uneven with `chance`; 0 where they are not told. */
export function rippleTerm(measured: Measured, chance = STRAY_UNEVEN): number {
  const told = toldThrows(measured);
  if (told.length === 0) return 0;
  // One armature: what one throw shows of it the other shows again.
  return Math.log(told.some((of) => unevenWords(measured, of) !== undefined) ? chance : 1 - chance);
}

/** The ripples that prove a bad segment, as a sentence; undefined where they are even or not told. */
export function rippleProof(measured: Measured): string | undefined {
  for (const of of toldThrows(measured)) {
    const words = unevenWords(measured, of);
    if (words !== undefined) return `Ripples of a turn, ${stretchWords(of)}: ${words}, a good unit none.`;
  }
  return undefined;
}

const toldThrows = (measured: Measured): RunStretch[] =>
  Object.values(measured).flatMap(({ what, of }) => (what === 'ripplesMissingPerTurn' && of ? [of] : []));

function unevenWords(measured: Measured, of: RunStretch): string | undefined {
  const value = (what: QuantityName): number => readingOf(measured, what, of)?.value ?? 0;
  const [missing, deep] = [value('ripplesMissingPerTurn'), value('ripplesDeepPerTurn')];
  if (missing + deep > 0) return wrongRipples(missing, deep);
  return value('shaftRateAmplitudeA') > RIPPLE_SWING * value('rippleAmplitudeA')
    ? 'a swing at every turn larger than they are'
    : undefined;
}

/** `1 missing, 2 too deep`. */
export const wrongRipples = (missing: number, deep: number): string =>
  [...(missing > 0 ? [`${missing} missing`] : []), ...(deep > 0 ? [`${deep} too deep`] : [])].join(', ');
