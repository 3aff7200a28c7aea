// `throwbench judge --recorded RUN`: a stored capture judged again by today's rules, beside the judgement of that day.

import { changesBetween, type JudgementChanges, replay } from '../bench/replay/index.js';
import { oneLine } from '../input/index.js';
import { judgementJson, type Outcome } from '../judge/index.js';
import { loadUnit, restoredUnit } from '../profile/index.js';
import type { RunRecord } from '../records/index.js';
import { OUTCOME_WORDS, VERDICT_WORDS } from '../tell/index.js';
import { circuitsLike, circuitsText } from './circuits-like.js';
import { type CommandIo, EXIT_OF_VERDICT, jsonText } from './command.js';
import { judgementText } from './judgement-text.js';
import { when } from './log-text.js';
import { motorModelJson } from './motor-model.js';
import { knownRun, noRuns, withStore } from './stored-runs.js';

/** @throws InputError for a run that is not there, or a profile that is no longer understood. */
export function replayRun(
  asked: { runId: string; profile: string | undefined; circuit?: string | undefined; json: boolean },
  io: CommandIo,
): number {
  const found = withStore((store) => {
    const record = knownRun(store, asked.runId);
    return { record, capture: store.readCapture(record.runId) };
  });
  if (!found) throw noRuns(asked.runId);
  const { record, capture } = found;
  const stored = record.unit;
  const asks = asked.circuit === 'auto';
  const instead = asked.circuit === undefined || asks ? undefined : { circuit: asked.circuit };
  const unit =
    asked.profile === undefined
      ? restoredUnit(stored, record.runId)
      : // What took the capture, and how well its readings were known, is a fact of that day.
        { ...loadUnit(asked.profile, undefined, instead), rig: stored.rig };
  const judgement = replay(record, capture, unit);
  const changes = changesBetween(record.judgement, judgement);
  const profile = { id: unit.unit.id, from: asked.profile === undefined ? 'record' : 'today' } as const;
  if (asked.json) {
    const { runId, tag, startedAt, status, toolVersion, verdict, sentence } = record;
    const json = {
      ...judgementJson(judgement),
      model: capture ? motorModelJson(capture, unit) : {},
      profile,
      ...(asks && capture ? { circuits: circuitsLike(capture, unit) } : {}),
      recorded: { runId, tag, startedAt, status, toolVersion, verdict, sentence },
      changes,
    };
    io.stdout(jsonText(json));
  } else {
    const rules =
      profile.from === 'record' ? 'the profile recorded with it' : `profile ${profile.id} as it is today`;
    io.stdout(
      `Run ${record.runId}, ${oneLine(record.tag)}, ${when(record.startedAt)}, judged again by ${rules}\n\n`,
    );
    io.stdout(judgementText(judgement));
    if (asks && capture) io.stdout(`\n${circuitsText(circuitsLike(capture, unit), unit)}`);
    io.stdout(`\n${changeLines(record, changes).map(oneLine).join('\n')}\n`);
  }
  return EXIT_OF_VERDICT[judgement.verdict];
}

const outcomeWords = (outcome: Outcome | undefined): string =>
  outcome === undefined ? 'not asked' : OUTCOME_WORDS[outcome];

function changeLines(record: RunRecord, { verdict, checks, firstFinding, same }: JudgementChanges): string[] {
  const { before, after } = verdict;
  const head = `Against the record, judged by program ${record.toolVersion}:`;
  if (before === undefined) return [`${head} nothing to compare, the run was broken off and never judged.`];
  if (same) return [`${head} nothing changes.`];
  const [then, now] = [firstFinding.before, firstFinding.after];
  return [
    head,
    before === after
      ? `  verdict stays ${VERDICT_WORDS[after]}`
      : `  verdict ${VERDICT_WORDS[before]} becomes ${VERDICT_WORDS[after]}`,
    ...checks.map(
      (check) => `  ${outcomeWords(check.before)}, now ${outcomeWords(check.after)}: ${check.sentence}`,
    ),
    ...(then?.id === now?.id
      ? []
      : [`  first cause was: ${then?.sentence ?? 'none'}`, `  first cause now: ${now?.sentence ?? 'none'}`]),
  ];
}
