// Which benches have written into a store: a rig at a computer, with its first and its newest run.

import type { Database } from 'better-sqlite3';

export interface Bench {
  rigId: string;
  /** Model of the rig, of its newest run; a hand meter is one too. */
  model: string;
  /** Name of the computer in its network. */
  computer: string;
  /** Those that still go on or were broken off too. */
  runs: number;
  firstRun: string;
  /** Wall clock, ISO 8601. */
  firstAt: string;
  newestRun: string;
  newestAt: string;
}

/** By rig, then computer. */
export function benchesOf(database: Database): Bench[] {
  return database
    .prepare(
      `WITH benches AS (SELECT rig_json ->> '$.rigId' AS rigId, owner_host AS computer, id, started_at,
         rig_json ->> '$.model' AS model, length(id) AS digits FROM runs)
       SELECT DISTINCT rigId, last_value(model) OVER bench AS model, computer, count(*) OVER bench AS runs,
         first_value(id) OVER bench AS firstRun, first_value(started_at) OVER bench AS firstAt,
         last_value(id) OVER bench AS newestRun, last_value(started_at) OVER bench AS newestAt FROM benches
       WINDOW bench AS (PARTITION BY rigId, computer ORDER BY started_at, digits, id
         ROWS BETWEEN UNBOUNDED PRECEDING AND UNBOUNDED FOLLOWING)
       ORDER BY rigId, computer`,
    )
    .all() as Bench[];
}
