// Which way the output went, as somebody saw it, held against what the unit's profile declares. The readings do not show
// it, so nobody fails for it and no reading is taken back: it keeps a unit from passing.

import { declaredWays, type ResolvedUnit, type WaySeen, wayWords } from '../profile/index.js';
import type { Doubt } from './in-doubt.js';
import type { CheckKind } from './verdict.js';

const WAY_IN_DOUBT: CheckKind = { id: 'way-in-doubt', of: 'unit', rank: -20, isAlwaysTold: true };

/** Thrown forward. */
export interface WayTold extends WaySeen {
  /** `up`, `did not move`. */
  words: string;
  /** What forward should do, where the profile declares it. */
  declared?: string;
  /** What speaks against the unit although its readings may be right. */
  inDoubt?: string;
}

/** Undefined where nobody was asked, or nobody answered. */
export function wayTold(unit: ResolvedUnit): WayTold | undefined {
  const { way } = unit;
  if (way === undefined) return undefined;
  const ways = declaredWays(unit);
  const words = wayWords(unit, way);
  const inDoubt = doubtOf(way, words, ways?.forward);
  return {
    ...{ ...way, words },
    ...(ways === undefined ? {} : { declared: ways.forward }),
    ...(inDoubt === undefined ? {} : { inDoubt }),
  };
}

function doubtOf({ moved }: WaySeen, words: string, forward: string | undefined): string | undefined {
  if (moved === 'as-reverse')
    return `Forward should move it ${forward}; it moved ${words}: the leads of the motor are exchanged, or its windings run the other way.`;
  if (moved !== 'still') return undefined;
  const should = forward === undefined ? 'Thrown forward it' : `Forward should move it ${forward}; it`;
  return `${should} did not move: the motor does not turn, or nothing joins it to what it should move.`;
}

export const wayDoubts = (way: WayTold | undefined): Doubt[] =>
  way?.inDoubt === undefined ? [] : [{ kind: WAY_IN_DOUBT, channels: [], sentence: way.inDoubt }];
