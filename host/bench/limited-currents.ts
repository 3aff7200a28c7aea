// Currents that the limited throws show to be misread before the full feed comes on: a feed that flows into its supply or is more
// than the rig's own limiter lets through, a motor that drives its own leads. No unit does any of it.

import { atStart, isThrow, type MeasureResult, type RunStretch, readingOf } from '../measure/index.js';
import type { ResolvedUnit } from '../profile/index.js';
import { amount, lowered } from '../tell/index.js';
import { RigFault } from './rig-fault.js';

/** More than zero and noise of a current before it was calibrated (RIG.md, section 8: 5 counts of 0.078 A). Choice of this program, no source. */
const LEAST_A = 0.5;
/** About 1 A drops more in any motor; joined leads show less. Choice of this program, no source. */
const LEAST_V = 0.15;
/** Parts of 1 to 5 % and a limiter that warms up make less; only more than this is told. Choice of this program, no source. */
const MORE_PART = 1.15;
const MORE_A = 0.1;

type Level = 'motorCurrentA' | 'feedCurrentA' | 'leadAVoltageV' | 'leadBVoltageV' | 'supplyVoltageV';

/** Of the limited throws of a run so far; undefined where none shows it. Pure. */
export function misreadCurrent(
  { unit: { subject }, style: { polarity }, rig }: Pick<ResolvedUnit, 'unit' | 'style' | 'rig'>,
  { measured, segments }: Pick<MeasureResult, 'measured' | 'segments'>,
): RigFault | undefined {
  // Behind a relay's own contact the current may flow either way.
  if (subject === 'relay') return undefined;
  for (const { of } of segments) {
    if (of.feed !== 'limited' || !isThrow(of)) continue;
    const level = (what: Level): number => readingOf(measured, what, of)?.value ?? Number.NaN;
    const [feedA, motorA] = [level('feedCurrentA'), level('motorCurrentA')];
    const [a, b] = [level('leadAVoltageV'), level('leadBVoltageV')];
    if (feedA < -LEAST_A) return feedBackwards(of, feedA);
    const dueSign = signOf(polarity[of.position === 'reverse' ? 'reverse' : 'forward']);
    // Where the leads too are the wrong way round they are exchanged, and that is told of them.
    if (Math.abs(motorA) > LEAST_A && (a - b) * dueSign > LEAST_V && motorA * dueSign < 0)
      return motorBackwards(of, motorA);
    // Whatever the unit does, its leads stand no lower than behind the limiter by what flows through that.
    const mostA = (level('supplyVoltageV') - Math.max(a, b)) / rig.limitedFeedOhm;
    if (feedA > MORE_PART * mostA + MORE_A) return aboveLimiter(of, feedA, mostA);
  }
  return undefined;
}

const signOf = (polarity: 'positive' | 'negative' | 'none'): number =>
  ({ positive: 1, negative: -1, none: 0 })[polarity];

const during = (of: RunStretch): string => lowered(atStart(of));

const feedBackwards = (of: RunStretch, readA: number): RigFault =>
  new RigFault(
    `The rig reads the feed current backwards: ${during(of)} it says ${amount(readA, 'A', 2)}, as if the unit fed the battery. No over-current in the feed would be seen.`,
    'Exchange the two sense wires of RS1, or turn the shunt round (RIG.md, section 5.2), then start the unit again.',
    ['RS1', 'U2'],
  );
const motorBackwards = (of: RunStretch, readA: number): RigFault =>
  new RigFault(
    `The rig reads the motor current backwards: ${during(of)} it says ${amount(readA, 'A', 2)} although the leads are the right way round.`,
    'Look whether the harness hangs on LEAD-A and the motor on MOTOR-A, not the other way round. If so, exchange the two sense wires of RS2 (RIG.md, section 5.2), then start the unit again.',
    ['RS2', 'U1'],
  );
const aboveLimiter = (of: RunStretch, readA: number, mostA: number): RigFault =>
  new RigFault(
    `The rig misreads its feed current, its supply or a lead: ${during(of)} it says ${amount(readA, 'A', 2)}, and its own limiter lets ${amount(mostA, 'A', 2)} through at these voltages.`,
    'Hold the rig against its known load (throwbench calibrate). If that does not agree, look at RS1, U2 and U4, and at R1 by a meter (RIG.md, sections 5.2 to 5.7).',
    ['RS1', 'U2', 'U4'],
  );
