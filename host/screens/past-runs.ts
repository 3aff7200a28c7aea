// Runs of this sitting that the one on the screen may be held against: the last good one of the same profile, and the
// attempt before. No more than these are kept.

import { CHANNEL, CHANNELS, type Channel } from '../capture/index.js';
import type { BenchView } from './bench-view-model.js';
import type { Series, TraceStore } from './trace-store.js';

export interface PastRun {
  tag: string;
  attempt: number;
  profileTitle: string;
  /** Board time at which each step began. */
  stepStartsS: readonly number[];
  series: Partial<Record<Channel, Series>>;
}

export class PastRuns {
  #good: PastRun | undefined;
  #last: PastRun | undefined;

  /** What stands on the bench is over: before its traces are cleared for the next. */
  keep(view: BenchView, traces: TraceStore): void {
    const unit = view.units[view.current];
    if (unit?.verdict === undefined || unit.aborted) return;
    const { tag, attempt, profileTitle, verdict } = unit;
    const series = Object.fromEntries(
      CHANNELS.filter((channel) => CHANNEL[channel].isTraced).map((channel) => [
        channel,
        traces.series(channel),
      ]),
    );
    this.#last = { tag, attempt, profileTitle, stepStartsS: view.stepStartsS, series };
    if (verdict === 'pass') this.#good = this.#last;
  }

  /** Of the same profile, and run before the unit on the bench. */
  lastGood({ units, current }: BenchView): PastRun | undefined {
    return this.#good?.profileTitle === units[current]?.profileTitle ? this.#good : undefined;
  }

  /** Of the same unit. */
  before({ units, current }: BenchView): PastRun | undefined {
    return this.#last !== undefined && this.#last.tag === units[current]?.tag ? this.#last : undefined;
  }
}

/** Its trace moved in time so that the step under way at `atS` began with this run's own. */
export function alignedSeries(
  past: PastRun,
  channel: Channel,
  stepStartsS: readonly number[],
  atS: number,
): Series | undefined {
  const series = past.series[channel];
  if (series === undefined) return undefined;
  const step = stepStartsS.findLastIndex((startS) => startS <= atS);
  const [own, earlier] = [stepStartsS[step], past.stepStartsS[step]];
  const byS = own === undefined || earlier === undefined ? 0 : own - earlier;
  return byS === 0 ? series : { timeS: series.timeS.map((timeS) => timeS + byS), value: series.value };
}
