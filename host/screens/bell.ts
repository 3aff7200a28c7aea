// Verdicts for the ear: one stroke for a pass, three for a fail, two for what cannot be told.

import type { Verdict } from '../judge/index.js';
import type { Clock } from '../link/index.js';
import type { BenchView } from './bench-view-model.js';

/** Apart enough that a terminal rings each by itself (tried by ear, no source). */
const STROKE_S = 0.25;

export function strokesFor(verdict: Verdict): number {
  if (verdict === 'pass') return 1;
  return verdict === 'fail' ? 3 : 2;
}

/** Rings once for each verdict that a run of this sitting gives. */
export class Bell {
  #rung: string | undefined;

  constructor(
    readonly clock: Clock,
    readonly stroke: () => void,
  ) {}

  look({ units, current }: BenchView): void {
    const unit = units[current];
    if (unit?.durationS === undefined || unit.runId === undefined || unit.runId === this.#rung) return;
    if (unit.verdict === undefined) return;
    this.#rung = unit.runId;
    this.stroke();
    for (let i = 1; i < strokesFor(unit.verdict); i++) this.clock.after(i * STROKE_S, this.stroke);
  }
}
