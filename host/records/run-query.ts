// Which runs are asked for, as a condition of SQL; what is not told is not asked.

import type { Verdict } from '../judge/index.js';

export interface RunQuery {
  tag?: string;
  /** At most so many, the newest. */
  limit?: number;
  /** Id of the unit's profile. */
  profile?: string;
  verdict?: Verdict;
  /** Part of the first cause's id or sentence, in any case. */
  cause?: string;
  /** Wall clock, ISO 8601: from then on, and up to before then. */
  since?: string;
  until?: string;
  /** Units listed in it. */
  job?: string;
  /** Id of the rig. */
  rig?: string;
  /** Part of the sentence of a check that failed, in any case. */
  check?: string;
  /** Part of tag, profile, reason or a cause, in any case. */
  text?: string;
}

/** `@name` stands for each value. */
const CONDITIONS: { [K in keyof Omit<RunQuery, 'limit'>]-?: string } = {
  tag: 'tag = @tag',
  profile: 'profile_id = @profile COLLATE NOCASE',
  verdict: 'verdict = @verdict',
  cause: `(judgement_json ->> '$.findings[0].id' LIKE @cause ESCAPE '\\'
    OR judgement_json ->> '$.findings[0].sentence' LIKE @cause ESCAPE '\\')`,
  job: `tag IN (SELECT tag FROM shop_entries WHERE kind = 'listed' AND job = @job COLLATE NOCASE
    AND id NOT IN (SELECT corrects FROM shop_entries WHERE corrects IS NOT NULL))`,
  rig: "rig_json ->> '$.rigId' = @rig COLLATE NOCASE",
  check: `EXISTS (SELECT 1 FROM checks WHERE checks.run_id = runs.id
    AND outcome IN ('fail', 'conditional-fail') AND checks.sentence LIKE @check ESCAPE '\\')`,
  since: 'started_at >= @since',
  until: 'started_at < @until',
  text: `(tag LIKE @text ESCAPE '\\' OR profile_id LIKE @text ESCAPE '\\' OR sentence LIKE @text ESCAPE '\\'
    OR profile_json ->> '$.unit.title' LIKE @text ESCAPE '\\'
    OR judgement_json ->> '$.findings' LIKE @text ESCAPE '\\')`,
};
const NAMES = Object.keys(CONDITIONS) as (keyof typeof CONDITIONS)[];

export function conditionOf(query: RunQuery): { where: string; values: Record<string, string | number> } {
  const asked = NAMES.filter((name) => query[name] !== undefined);
  const values = asked.map((name) => [
    name,
    name === 'cause' || name === 'check' || name === 'text' ? partOf(query[name] ?? '') : (query[name] ?? ''),
  ]);
  return {
    where: asked.length === 0 ? 'true' : asked.map((name) => CONDITIONS[name]).join(' AND '),
    values: { ...Object.fromEntries(values), limit: query.limit ?? -1 },
  };
}

const partOf = (text: string): string => `%${text.replace(/[\\%_]/g, '\\$&')}%`;
