// A store that keeps nothing: a training run must never be found among real units.

import { RecordError } from '../../records/index.js';
import type { RunStore } from '../unit-job.js';

export const NOT_RECORDED = 'not-recorded';

export function unrecordedStore(): RunStore {
  return {
    beginRun: () => NOT_RECORDED,
    appendSamples: () => {},
    finishRun: () => {},
    abortRun: () => {},
    listRuns: () => [],
    showRun: (runId) => {
      throw new RecordError('run-unknown', `no run ${runId}`, 'A training run is not recorded.');
    },
  };
}
