// A store that keeps one run in memory and writes nothing: a training run must never be found among real units.

import { type FinishRun, RecordError, type Store } from '../../records/index.js';

export const NOT_RECORDED = 'not-recorded';

export interface Unrecorded {
  store: Store;
  /** The run as it would have been stored; undefined until then, or when it was broken off. */
  finished(): FinishRun | undefined;
}

export function unrecordedStore(): Unrecorded {
  let kept: FinishRun | undefined;
  const store: Store = {
    file: NOT_RECORDED,
    beginRun: () => NOT_RECORDED,
    appendSamples: () => {},
    finishRun: (_runId, finish) => {
      kept = finish;
    },
    abortRun: () => {},
    listRuns: () => [],
    showRun: (runId) => {
      throw new RecordError('run-unknown', `no run ${runId}`, 'A training run is not recorded.');
    },
    readCapture: () => undefined,
    readRawLines: () => [],
    addCalibration: () => {},
    listCalibrations: () => [],
    calibrationFor: (rigId, at) => ({ rigId, at, channels: {} }),
    addShiftCheck: () => {},
    listShiftChecks: () => [],
    verify: () => ({ runs: 0, faults: [] }),
    close: () => {},
  };
  return { store, finished: () => kept };
}
