// A run that named the rig's own clip asked for it to be pressed. When the next run of the same unit reads the same ohms on
// that way it was no clip: one that has been bitten on anew reads another.

import type { Judgement } from '../judge/index.js';
import { keyRead } from '../measure/index.js';
import type { ResolvedUnit } from '../profile/index.js';
import type { JudgementRecord } from '../records/index.js';
import type { RunStore } from './unit-job.js';

/** Later than this somebody has clipped it on afresh. Choice of this program, no source. */
const PRESSED_WITHIN_S = 1800;
/** A joint warms, and a clip that was pressed changes by more (common practice, no source). */
const SAME_PART = 0.05;

/** `unit` with its clips ruled out, where the run before asked for them and `judgement` reads the same; undefined else. */
export function withClipsPressed(
  unit: ResolvedUnit,
  judgement: Judgement,
  { store, tag, runId, now }: { store: RunStore; tag: string; runId: string; now: Date },
): ResolvedUnit | undefined {
  if (clipOf(judgement) === undefined) return undefined;
  const [last] = store.listRuns({ tag, limit: 2 }).filter((run) => run.runId !== runId);
  if (last === undefined) return undefined;
  const agoS = (now.getTime() - Date.parse(last.endedAt ?? last.startedAt)) / 1000;
  const before = store.showRun(last.runId).judgement;
  if (agoS > PRESSED_WITHIN_S || before === undefined || !readsTheSame(before, judgement)) return undefined;
  const { proven = [] } = unit.rig;
  return { ...unit, rig: { ...unit.rig, proven: [...proven, 'clips'] } };
}

type Told = Pick<JudgementRecord, 'findings' | 'measured'>;

/** The rig's clip that comes first of all causes, by its id. */
const clipOf = ({ findings: [first] }: Pick<Told, 'findings'>): string | undefined =>
  first?.causes?.[0]?.readsAsUnits ? first.id : undefined;

function isOfTheWay(key: string): boolean {
  const what = keyRead(key)?.what;
  return what === 'feedResistanceOhm' || what === 'groundResistanceOhm';
}

/** Whether both named the same clip first, and the ways to the motor and back read the same ohms. */
export function readsTheSame(before: Told, now: Told): boolean {
  const clip = clipOf(now);
  if (clip === undefined || clipOf(before) !== clip) return false;
  const pairs = Object.entries(now.measured).flatMap(([key, read]) => {
    const earlier = before.measured[key];
    return isOfTheWay(key) && earlier !== undefined ? [{ read, earlier }] : [];
  });
  return (
    pairs.length > 0 &&
    pairs.every(
      ({ read, earlier }) =>
        Math.abs(read.value - earlier.value) <=
        Math.hypot(read.expandedUncertainty, earlier.expandedUncertainty, SAME_PART * earlier.value),
    )
  );
}
