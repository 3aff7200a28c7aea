// A store that keeps one run in memory and writes nothing: a training run must never be found among real units.

import type { FinishRun, Store } from '../../records/index.js';

export const NOT_RECORDED = 'not-recorded';

export interface Unrecorded {
  store: Store;
  /** The run as it would have been stored; undefined until then, or when it was broken off. */
  finished(): FinishRun | undefined;
}

export function unrecordedStore(): Unrecorded {
  let kept: FinishRun | undefined;
  const used: Pick<Store, 'beginRun' | 'appendSamples' | 'finishRun' | 'abortRun' | 'close'> = {
    beginRun: () => NOT_RECORDED,
    appendSamples: () => {},
    finishRun: (_runId, finish) => {
      kept = finish;
    },
    abortRun: () => {},
    close: () => {},
  };
  // A run asks for nothing else of its store.
  return { store: used as unknown as Store, finished: () => kept };
}
