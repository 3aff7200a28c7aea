// The words a judged run is told in. JSON of `judge --json` follows these shapes: add only.
// Outcomes follow ILAC-G8:09/2019, 4.2.3 (guard band equal to the expanded uncertainty).

import type { RankedFinding } from '../diagnose/index.js';
import type { Measured } from '../measure/index.js';

export type { RankedFinding as Finding } from '../diagnose/index.js';
export type { Measured, Quantity } from '../measure/index.js';

export type Outcome = 'pass' | 'conditional-pass' | 'conditional-fail' | 'fail' | 'not-tested';

export interface Check {
  /** kebab-case, permanent. */
  id: string;
  /** One sentence an electrician would say, with the reading and its limit. */
  sentence: string;
  value?: number;
  unit?: string;
  expandedUncertainty?: number;
  lower?: number;
  upper?: number;
  outcome: Outcome;
  /** A verdict is never better than its required checks. */
  required: boolean;
  /** Where the limit comes from. */
  origin: 'maker' | 'learned' | 'model' | 'published' | 'generic';
}

export type Verdict = 'pass' | 'fail' | 'cannot-tell';

export interface Judgement {
  verdict: Verdict;
  /** One sentence: the verdict's reason. */
  sentence: string;
  checks: Check[];
  findings: RankedFinding[];
  measured: Measured;
}
