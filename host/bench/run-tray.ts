// A tray: units one after the other, each a run of its own, with a count at the end.

import type { ResolvedUnit } from '../profile/index.js';
import { CAUTIONS } from './cautions.js';
import { streamOf } from './event-queue.js';
import type { BenchEvent } from './events.js';
import { runUnit } from './run-unit.js';
import type { RunTools, UnitJob } from './unit-job.js';

export interface TrayOptions extends RunTools {
  units: readonly Omit<UnitJob, 'index'>[];
  /** Waited for before each unit: the operator has clipped it on, or has read the cautions. */
  beforeUnit?(index: number): Promise<void>;
}

const isHookedUpAlike = ({ style: a }: ResolvedUnit, { style: b }: ResolvedUnit): boolean =>
  a.id === b.id && a.hookUp.join('\n') === b.hookUp.join('\n');

/** Streams every event of the tray. After an abort the unit in hand is recorded and no further one starts. */
export function runTray(options: TrayOptions): AsyncIterable<BenchEvent> {
  return streamOf<BenchEvent>(async (emit) => {
    emit({ kind: 'caution', lines: [...CAUTIONS] });
    emit({
      kind: 'tray-started',
      units: options.units.map(({ tag, unit }) => ({ tag, profileTitle: unit.unit.title })),
    });
    const count = { pass: 0, fail: 0, 'cannot-tell': 0 };
    // While the cautions are read.
    const [first] = options.units;
    if (first) options.desk.prepare(first.unit).catch(() => undefined);
    for (const [index, unit] of options.units.entries()) {
      const before = options.units[index - 1]?.unit;
      if (before === undefined || !isHookedUpAlike(before, unit.unit))
        emit({ kind: 'hook-up', tag: unit.tag, lines: [...unit.unit.style.hookUp] });
      await options.beforeUnit?.(index);
      if (options.signal.aborted) break;
      // The next profile's expected behaviour is computed while this unit runs.
      const next = options.units[index + 1];
      const word = runUnit({ ...unit, index }, options, emit);
      if (next) options.desk.prepare(next.unit).catch(() => undefined);
      count[await word] += 1;
    }
    emit({ kind: 'tray-finished', passed: count.pass, failed: count.fail, cannotTell: count['cannot-tell'] });
  });
}
