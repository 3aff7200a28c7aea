// What the bench screen and each of its pages are a function of.

import type { PastRun } from './past-runs.js';
import type { ScreenState } from './screen-state.js';
import type { Theme } from './theme.js';
import type { TraceStore } from './trace-store.js';

export interface BenchScreenProps {
  state: ScreenState;
  traces: TraceStore;
  /** What may be laid under the traces. */
  past?: Partial<Record<'last-good' | 'attempt-before', PastRun>>;
  theme: Theme;
  /** Columns and rows of the terminal; the last of each stays empty. */
  columns: number;
  rows: number;
}
