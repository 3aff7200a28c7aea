// Rows of the runs table as what callers see; absent values are left out, never null.

import { known } from '../fields/index.js';
import { readExactJson } from './exact-json.js';
import type { RunRecord, RunStatus, RunSummary } from './record.js';

export const SUMMARY_COLUMNS =
  "id, tag, status, started_at, ended_at, profile_id, profile_json ->> '$.unit.title' AS profile_title, rig_json ->> '$.rigId' AS rig_id, verdict, sentence, attempt, operator, zone, utc_offset_min";

export interface RunRow {
  id: string;
  tag: string;
  status: RunStatus;
  started_at: string;
  ended_at: string | null;
  profile_id: string;
  profile_title?: string;
  rig_id?: string | null;
  profile_json: string;
  rig_json: string;
  tool_version: string;
  verdict: RunSummary['verdict'] | null;
  sentence: string | null;
  attempt: number | null;
  operator: string | null;
  zone: string | null;
  utc_offset_min: number | null;
  judgement_json: string | null;
  stop_json: string | null;
  counters_json: string | null;
  samples: number;
  hash: string | null;
}

export function summaryOf(row: RunRow): RunSummary {
  return known({
    runId: row.id,
    tag: row.tag,
    profileId: row.profile_id,
    profileTitle: row.profile_title ?? row.profile_id,
    rigId: row.rig_id ?? undefined,
    startedAt: row.started_at,
    endedAt: row.ended_at ?? undefined,
    status: row.status,
    verdict: row.verdict ?? undefined,
    sentence: row.sentence ?? undefined,
    attempt: row.attempt ?? undefined,
    operator: row.operator ?? undefined,
    zone: row.zone ?? undefined,
    utcOffsetMin: row.utc_offset_min ?? undefined,
  });
}

export function recordOf(row: RunRow): RunRecord {
  const unit = readExactJson(row.profile_json) as RunRecord['unit'];
  const rig = readExactJson(row.rig_json) as RunRecord['rig'];
  return {
    ...summaryOf({ ...row, profile_title: unit.unit.title, rig_id: rig.rigId }),
    ...{ unit, rig },
    toolVersion: row.tool_version,
    ...(row.judgement_json === null
      ? {}
      : { judgement: readExactJson(row.judgement_json) as RunRecord['judgement'] & {} }),
    ...(row.stop_json === null ? {} : { stop: readExactJson(row.stop_json) as RunRecord['stop'] & {} }),
    counters: readExactJson(row.counters_json ?? '{}') as Record<string, number>,
    samples: row.samples,
    ...(row.hash === null ? {} : { hash: row.hash }),
  };
}
