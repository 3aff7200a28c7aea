// A stored capture judged again, and what would change against the judgement of that day. Reads; never writes.

import type { Capture } from '../../capture/index.js';
import {
  type CheckJson,
  type Finding,
  type Judgement,
  judge,
  type Outcome,
  type Verdict,
} from '../../judge/index.js';
import type { ResolvedUnit } from '../../profile/index.js';
import type { JudgementRecord, RunRecord } from '../../records/index.js';
import { withoutStop } from '../../tell/index.js';
import { prepareProfile } from '../preparing/index.js';

/** One check whose outcome is another, or that one of the two judgements lacks. */
export interface CheckChange {
  id: string;
  before?: Outcome;
  after?: Outcome;
  /** As it is told now, or was told then when it is gone. */
  sentence: string;
}

export interface JudgementChanges {
  /** `before` is absent when the run was never judged. */
  verdict: { before?: Verdict; after: Verdict };
  checks: CheckChange[];
  firstFinding: {
    before?: Pick<Finding, 'id' | 'sentence'>;
    after?: Pick<Finding, 'id' | 'sentence'>;
  };
  /** Nothing of the three changed. */
  same: boolean;
}

export type RunToReplay = Pick<RunRecord, 'status' | 'sentence' | 'stop'>;

/**
 * Today's judgement of a run as recorded. A run that was broken off is never passed nor failed, whatever its part of a
 * capture shows; nor is one without samples.
 */
export function replay(run: RunToReplay, capture: Capture | undefined, unit: ResolvedUnit): Judgement {
  const cannotTell = (sentence: string): Judgement => ({
    verdict: 'cannot-tell',
    sentence,
    checks: [],
    findings: [],
    measured: {},
  });
  const why = run.sentence === undefined ? '' : `: ${withoutStop(run.sentence)}`;
  if (run.status === 'running') return cannotTell('The run is still going on; judge it when it has ended.');
  if (capture === undefined || capture.timeS.length === 0)
    return cannotTell(`The run left no samples${why}.`);
  const isWhole = run.status === 'finished';
  const { expectation, library, close } = prepareProfile(unit, { findings: true });
  let judgement: Judgement;
  try {
    const stop = isWhole ? run.stop?.reason : 'aborted';
    judgement = judge({ unit, capture, expectation: expectation(), library, stop });
  } finally {
    close();
  }
  if (isWhole) return judgement;
  const sentence = `The run was broken off${why}. What it sampled until then is no whole test.`;
  return { ...judgement, verdict: 'cannot-tell', sentence, findings: [] };
}

export function changesBetween(before: JudgementRecord | undefined, after: Judgement): JudgementChanges {
  const told = (finding: Finding | undefined) => finding && { id: finding.id, sentence: finding.sentence };
  const [first, then] = [told(after.findings[0]), told(before?.findings[0])];
  const checks = before === undefined ? [] : checkChanges(before.checks, after.checks);
  return {
    verdict: { ...(before ? { before: before.verdict } : {}), after: after.verdict },
    checks,
    firstFinding: { ...(then ? { before: then } : {}), ...(first ? { after: first } : {}) },
    same: before?.verdict === after.verdict && checks.length === 0 && then?.id === first?.id,
  };
}

function checkChanges(before: readonly CheckJson[], after: readonly CheckJson[]): CheckChange[] {
  const changed = after.flatMap((check): CheckChange[] => {
    const then = before.find(({ id }) => id === check.id);
    if (then?.outcome === check.outcome) return [];
    const { id, outcome, sentence } = check;
    return [{ id, ...(then ? { before: then.outcome } : {}), after: outcome, sentence }];
  });
  const gone = before
    .filter(({ id }) => !after.some((check) => check.id === id))
    .map(({ id, outcome, sentence }) => ({ id, before: outcome, sentence }));
  return [...changed, ...gone];
}
