// A recorded run on paper: its picture.

import type { Capture } from '../capture/index.js';
import type { RunRecord } from '../records/index.js';
import { runPicture } from '../reports/index.js';
import { VERDICT_WORDS } from '../tell/index.js';
import { when } from './log-text.js';

/** SVG of the whole run with what is worth enlarging. */
export function pictureOfRun(run: RunRecord, capture: Capture): string {
  const { unit, verdict } = run;
  return runPicture({
    capture,
    title: `${run.tag}, ${unit.unit.title}`,
    subtitle: [
      ...(verdict === undefined ? [] : [VERDICT_WORDS[verdict]]),
      unit.style.title,
      `run ${run.runId}`,
      when(run.startedAt),
      `rig ${run.rig.rigId}`,
    ].join('; '),
    isRelayAlone: unit.style.subject === 'relay',
    ...(run.judgement ? { measured: run.judgement.measured } : {}),
  });
}
