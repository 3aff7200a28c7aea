// From probe to probe until one cause, or a group that nothing parts, is left. Where the readings come from is a source's
// business: typed by a person, read by the rig.

import { type Conclusion, conclude } from './choose.js';
import type { Probe, Reading } from './probe.js';
import { type Probing, passedOver, type Standing, withReading } from './probing.js';

export interface ReadingSource {
  /** Whether such a probe can be made with it. */
  can(probe: Probe): boolean;
  /** `passed-over`: it cannot be made on this bench; `stop`: the person leaves. */
  take(probe: Probe, at: At): Promise<Reading | 'passed-over' | 'stop'>;
}

/** Where a probing stands when a probe is asked for. */
export type At = Extract<Conclusion, { kind: 'open' }> & { standing: Standing; probing: Probing };

export interface Walked {
  probing: Probing;
  /** Absent when the person left before the end. */
  end?: Exclude<Conclusion, { kind: 'open' }>;
}

/** @param hear is told every reading at once, before it is weighed. */
export async function walk(
  start: Probing,
  source: ReadingSource,
  hear: (probe: Probe, reading: Reading) => void,
): Promise<Walked> {
  let probing = start;
  for (;;) {
    const now = conclude(probing, (probe) => source.can(probe));
    if (now.kind !== 'open') return { probing, end: now };
    const given = await source.take(now.next, { ...now, probing });
    if (given === 'stop') return { probing };
    if (given === 'passed-over') probing = passedOver(probing, now.next);
    else {
      hear(now.next, given);
      probing = withReading(probing, now.next, given);
    }
  }
}
