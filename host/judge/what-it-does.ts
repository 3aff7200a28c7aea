// What a unit that passes does, in the numbers that one wants to know: currents each way, volts lost on the way, brake,
// a relay's times, and the check that came closest to its limit.

import {
  DIRECTION_NOT_TOLD,
  isFullThrow,
  type Measured,
  type QuantityName,
  type Reading,
} from '../measure/index.js';
import { briefly, listed, milli } from '../tell/index.js';
import { usualWords } from './other-than-usual.js';
import type { Check } from './verdict.js';
import { reasonOf } from './verdict-rule.js';

export interface Shown {
  about: 'runs' | 'starts' | 'drops' | 'brake' | 'relay' | 'closest' | 'checks' | 'generic';
  /** A clause: `runs at 4.5 A forward and 4.4 A reverse`; from `closest` on a sentence. */
  words: string;
  /** The same beside a label: `4.5 A forward and 4.4 A reverse`. */
  read: string;
}

type OfThrow = Reading & Required<Pick<Reading, 'of'>>;

/** Empty of what was not read. */
export function whatItDoes(measured: Measured, checks: readonly Check[]): Shown[] {
  const read = Object.values(measured);
  const firstThrows = (what: QuantityName): OfThrow[] =>
    read
      .filter((one): one is OfThrow => one.what === what && one.of !== undefined && isFullThrow(one.of))
      .filter(({ of }, _, all) => !all.some((one) => one.of.position === of.position && one.of.nth < of.nth));
  const ways = (what: QuantityName): string =>
    listed(
      firstThrows(what).map(
        ({ value, unit, of, atLeast }) =>
          `${atLeast ? 'at least ' : ''}${briefly(Math.abs(value), unit)} ${of.isWayUntold ? `(${DIRECTION_NOT_TOLD})` : of.position}`,
      ),
    );
  const most = (what: QuantityName): string | undefined => {
    const values = firstThrows(what);
    const [first] = values;
    return first && briefly(Math.max(...values.map(({ value }) => Math.abs(value))), first.unit);
  };
  const [runs, starts] = [ways('runningCurrentA'), ways('inrushPeakA')];
  const [toFeed, toGround, brake] = [most('feedDropV'), most('groundDropV'), most('brakePeakA')];
  const relay = relayWords(read);
  const closest = closestOf(checks);
  const generic = usualWords(checks).trim();
  const clause = (about: Shown['about'], verb: string, told: string): Shown[] => [
    { about, words: `${verb} ${told}`, read: told },
  ];
  const sentence = (about: Shown['about'], words: string): Shown[] => [{ about, words, read: words }];
  return [
    ...(runs === '' ? [] : clause('runs', 'runs at', runs)),
    ...(starts === '' ? [] : clause('starts', 'starts with', starts)),
    ...(toFeed === undefined || toGround === undefined
      ? []
      : clause('drops', 'drops', `at most ${toFeed} to the motor and ${toGround} to ground`)),
    ...(brake === undefined ? [] : clause('brake', 'brakes with', brake)),
    ...(relay === '' ? [] : sentence('relay', relay)),
    ...(closest === undefined ? [] : sentence('closest', closest.sentence)),
    ...sentence('checks', reasonOf('pass', checks)),
    ...(generic === '' ? [] : sentence('generic', generic)),
  ];
}

function relayWords(read: readonly Reading[]): string {
  const one = (what: QuantityName): Reading | undefined => read.find((reading) => reading.what === what);
  const [operate, release] = [one('operateS'), one('releaseS')];
  return operate && release
    ? `closes after ${milli(operate.value, 's')}, lets go after ${milli(release.value, 's')}`
    : '';
}

/** Of the unit's own readings with a limit, the one with the least room left to it; undefined where none has one. */
function closestOf(checks: readonly Check[]): Check | undefined {
  const [closest] = checks
    .flatMap((check) => {
      const room = roomOf(check);
      return room === undefined ? [] : [{ check, room }];
    })
    .sort((a, b) => a.room - b.room);
  return closest?.check;
}

/** Distance to the nearer limit, as a part of the range, or of the limit where there is one only. */
function roomOf({ required, kind, of, outcome, value, lower, upper }: Check): number | undefined {
  const isOfUnit = of !== 'rig' && of !== 'supply' && of !== 'hand';
  if (!required || !isOfUnit || kind.isOfCourse || outcome === 'not-tested' || value === undefined)
    return undefined;
  const range = lower !== undefined && upper !== undefined ? upper - lower : Math.abs(upper ?? lower ?? 0);
  if (!(range > 0)) return undefined;
  return (
    Math.min((upper ?? Number.POSITIVE_INFINITY) - value, value - (lower ?? Number.NEGATIVE_INFINITY)) / range
  );
}
