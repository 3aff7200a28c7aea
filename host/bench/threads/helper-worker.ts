// A thread that takes part in work on a profile, stage after stage. It loads only what its stages need.

import { type MessagePort, workerData } from 'node:worker_threads';
import type { DrawsOptions } from '../../circuit/index.js';
import type { ResolvedUnit } from '../../profile/index.js';
import { help, type Work } from './shared-work.js';

/** The band of good units; what verdicts rest on: how good units measure, and what every fault would read. */
export type Stage = { of: 'band'; options: DrawsOptions } | { of: 'good-units' } | { of: 'faults' };

export interface HelperJob {
  unit: ResolvedUnit;
  stages: readonly Stage[];
  cells: Int32Array;
  port: MessagePort;
}

async function workOf(unit: ResolvedUnit, stage: Stage): Promise<Work> {
  if (stage.of === 'band') return new (await import('../../circuit/index.js')).Draws(unit, stage.options);
  if (stage.of === 'good-units') return (await import('../../judge/index.js')).goodDraws(unit);
  return new (await import('../../diagnose/index.js')).LibraryWork(unit);
}

const { unit, stages, cells, port } = workerData as HelperJob;
for (const [i, stage] of stages.entries()) help(await workOf(unit, stage), i, cells, port);
port.close();
