// From probe to probe until one cause, or a group that nothing parts, is left. Where the readings come from is a source's
// business: typed by a person, read by the rig.

import { type Conclusion, conclude } from './choose.js';
import type { Probe, Reading } from './probe.js';
import { type Probing, passedOver, type Standing, type Taken, withoutLast, withReading } from './probing.js';

export interface ReadingSource {
  /** Whether such a probe can be made with it. */
  can(probe: Probe): boolean;
  /** `passed-over`: it cannot be made on this bench; `undo`: what was answered last is taken back; `stop`: the person leaves. */
  take(probe: Probe, at: At): Promise<Reading | 'passed-over' | 'undo' | 'stop'>;
  /** Where the last answer led to an end: whether it stands. It does where nobody is asked. */
  ends?(end: End): Promise<'stands' | 'undo'>;
}

export type End = Exclude<Conclusion, { kind: 'open' }>;

/** Where a probing stands when a probe is asked for. */
export type At = Extract<Conclusion, { kind: 'open' }> & { standing: Standing; probing: Probing };

export interface Walked {
  probing: Probing;
  /** Absent when the person left before the end. */
  end?: End;
}

/** Told of every reading at once, before it is weighed, and of the one that is taken back; undefined where there is none. */
export interface Hearing {
  taken(probe: Probe, reading: Reading): void;
  undone(last: Taken | undefined): void;
}

export async function walk(start: Probing, source: ReadingSource, hearing: Hearing): Promise<Walked> {
  let probing = start;
  /** As it stood before each answer of this walk. */
  const before: Probing[] = [];
  const undo = (): void => {
    const earlier = before.pop();
    // A probe that was passed over is asked again: no reading is taken back.
    if (earlier !== undefined && earlier.taken.length === probing.taken.length) {
      probing = earlier;
      return;
    }
    hearing.undone(probing.taken.at(-1));
    probing = earlier ?? withoutLast(probing);
  };
  for (;;) {
    const now = conclude(probing, (probe) => source.can(probe));
    if (now.kind !== 'open') {
      const isAsked = probing.taken.length > 0 || before.length > 0;
      if (isAsked && (await source.ends?.(now)) === 'undo') {
        undo();
        continue;
      }
      return { probing, end: now };
    }
    const given = await source.take(now.next, { ...now, probing });
    if (given === 'stop') return { probing };
    if (given === 'undo') {
      undo();
      continue;
    }
    before.push(probing);
    if (given === 'passed-over') probing = passedOver(probing, now.next);
    else {
      hearing.taken(now.next, given);
      probing = withReading(probing, now.next, given);
    }
  }
}
