// `throwbench judge --recorded RUN`: a stored capture judged again by today's rules, beside the judgement of that day.

import { changesBetween, type JudgementChanges, replay } from '../bench/replay/index.js';
import { known } from '../fields/index.js';
import { oneLine } from '../input/index.js';
import type { Outcome } from '../judge/index.js';
import { loadUnit, restoredUnit } from '../profile/index.js';
import type { RunRecord } from '../records/index.js';
import { OUTCOME_WORDS, retold, VERDICT_WORDS } from '../tell/index.js';
import { type CommandIo, EXIT_OF_VERDICT } from './command.js';
import { circuitAsked, tellJudgement } from './judgement-told.js';
import { when } from './log-text.js';
import { knownRun, noRuns, samplesGone, withStore } from './stored-runs.js';
import { unitAsRun } from './unit-as-run.js';

/** @throws InputError for a run that is not there, or a profile that is no longer understood, or whose samples were taken out. */
export function replayRun(
  asked: {
    runId: string;
    profile: string | undefined;
    circuit?: string | undefined;
    motor?: string | undefined;
    learned?: string | undefined;
    json: boolean;
  },
  io: CommandIo,
): number {
  const found = withStore((store) => {
    const record = knownRun(store, asked.runId);
    return { record, capture: store.readCapture(record.runId) };
  });
  if (!found) throw noRuns(asked.runId);
  const { record, capture } = found;
  // Without them every check would be one that is asked no more.
  const gone = capture === undefined ? samplesGone(record) : undefined;
  if (gone !== undefined) throw gone;
  const stored = record.unit;
  const { asks, instead } = circuitAsked(asked.circuit, asked.motor);
  const asIs =
    asked.profile === undefined
      ? restoredUnit(stored, record.runId)
      : // What took the capture, how well its readings were known, and what was seen, are facts of that day.
        { ...loadUnit(asked.profile, undefined, instead), rig: stored.rig, ...known({ way: stored.way }) };
  const unit = unitAsRun(asIs, { learned: asked.learned });
  const judgement = replay(record, capture, unit);
  const changes = changesBetween(record.judgement, judgement);
  const profile = { id: unit.unit.id, from: asked.profile === undefined ? 'record' : 'today' } as const;
  const { runId, tag, startedAt, status, toolVersion, verdict, sentence } = record;
  const recorded = { runId, tag, startedAt, status, toolVersion, verdict, sentence };
  if (!asked.json) {
    const rules =
      profile.from === 'record' ? 'the profile recorded with it' : `profile ${profile.id} as it is today`;
    io.stdout(`Run ${runId}, ${oneLine(tag)}, ${when(startedAt)}, judged again by ${rules}\n\n`);
  }
  const told = { judgement, unit, capture, asks, json: asked.json };
  tellJudgement(told, io, { profile, recorded, changes });
  if (!asked.json) io.stdout(`\n${changeLines(record, changes).map(oneLine).join('\n')}\n`);
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
      (check) =>
        `  ${outcomeWords(check.before)}, now ${outcomeWords(check.after)}: ${retold(check.sentence)}`,
    ),
    ...(then?.id === now?.id
      ? []
      : [`  first cause was: ${then?.sentence ?? 'none'}`, `  first cause now: ${now?.sentence ?? 'none'}`]),
  ];
}
