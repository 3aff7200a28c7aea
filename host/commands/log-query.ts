// Which runs `log` is asked for: its filters, each refused by itself where it cannot be meant.

import { known } from '../fields/index.js';
import type { RunQuery } from '../records/index.js';
import { formsNow, typedDay } from '../tell/index.js';
import { UsageError } from './command.js';

const VERDICTS = ['pass', 'fail', 'cannot-tell'] as const;
/** Of `log` as a list and of its numbers. */
const ONLY = ['list', 'stats'] as const;

export const QUERY_OPTIONS = {
  unit: { type: 'string', value: 'TAG', words: 'runs of this unit', offer: 'tag', only: ONLY },
  job: { type: 'string', value: 'JOB', words: 'runs of the units of this job', only: ONLY },
  rig: { type: 'string', value: 'ID', words: 'runs on this rig', only: ONLY },
  check: { type: 'string', value: 'TEXT', words: 'part of a check that failed', only: ONLY },
  profile: { type: 'string', value: 'P', words: 'runs of this profile', offer: 'unit', only: ONLY },
  verdict: {
    type: 'string',
    value: 'V',
    words: 'pass, fail or cannot-tell',
    offer: VERDICTS,
    only: ONLY,
  },
  cause: { type: 'string', value: 'TEXT', words: 'part of the likeliest cause', only: ONLY },
  since: { type: 'string', value: 'DAY', words: 'from this day on: 2026-11-27', only: ONLY },
  until: { type: 'string', value: 'DAY', words: 'up to this day, which is meant too', only: ONLY },
  find: {
    type: 'string',
    value: 'TEXT',
    words: 'anywhere in tag, profile, reason or cause',
    only: ONLY,
  },
} as const;

export const QUERY_NAMES = Object.keys(QUERY_OPTIONS) as (keyof typeof QUERY_OPTIONS)[];

export type QueryTold = { [K in keyof typeof QUERY_OPTIONS]?: string | undefined };

/** @throws UsageError for a verdict or a day that is none */
export function queryOf({
  unit,
  job,
  rig,
  check,
  profile,
  verdict,
  cause,
  since,
  until,
  find,
}: QueryTold): RunQuery {
  const [from, to] = [
    since === undefined ? undefined : dayAt('since', since, 0),
    until === undefined ? undefined : dayAt('until', until, 1),
  ];
  if (from !== undefined && to !== undefined && to <= from)
    throw new UsageError(`--until '${until}' lies before --since '${since}': exchange them`);
  return known({
    ...{ tag: unit, job, rig, check, profile, cause, text: find },
    verdict: verdict === undefined ? undefined : verdictNamed(verdict),
    since: from,
    // The day itself is meant too.
    until: to,
  });
}

/** In a sentence; empty where nothing was asked. */
export const queryWords = (told: QueryTold): string =>
  QUERY_NAMES.flatMap((name) => {
    const value = told[name];
    return value === undefined ? [] : [`--${name} ${value}`];
  }).join(' ');

function verdictNamed(text: string): (typeof VERDICTS)[number] {
  const meant = VERDICTS.find((verdict) => verdict === text.toLowerCase().replace(' ', '-'));
  if (meant !== undefined) return meant;
  throw new UsageError(`--verdict '${text}' should be pass, fail or cannot-tell`);
}

/** Midnight of the reader's own clock, that many days on. */
function dayAt(name: string, text: string, daysOn: number): string {
  const [year, month, day] = typedDay(text, formsNow().date)?.split('-').map(Number) ?? [];
  const date = new Date(year ?? Number.NaN, (month ?? 0) - 1, day);
  if (Number.isNaN(date.getTime()))
    throw new UsageError(`--${name} '${text}' should be a day, such as 2026-11-27`);
  date.setDate(date.getDate() + daysOn);
  return date.toISOString();
}
