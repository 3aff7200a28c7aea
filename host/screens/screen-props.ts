// What the bench screen and each of its pages are a function of.

import type { ScreenState } from './bench-controller.js';
import type { Theme } from './theme.js';
import type { TraceStore } from './trace-store.js';

export interface BenchScreenProps {
  state: ScreenState;
  traces: TraceStore;
  theme: Theme;
  /** Columns and rows of the terminal; the last of each stays empty. */
  columns: number;
  rows: number;
}
