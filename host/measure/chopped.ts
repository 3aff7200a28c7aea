// A feed that goes off and on evenly while a throw is held: a chopper or speed controller, or a relay that buzzes. What
// a steady feed would show cannot be told from it.

import type { Dropout } from './dropouts.js';
import { median } from './statistics.js';

/** So many losses, most of them as far apart as the others, are no loose joint. Choices of this program, no source. */
const LEAST_LOSSES = 10;
const EVEN_PART = 0.25;
const EVEN_SHARE = 0.8;

/** How often a second the voltage at the motor goes off and on; undefined where it does not, or not evenly. */
export function choppedHz(dropouts: readonly Dropout[]): number | undefined {
  // Of brushes that lift, the leads keep their voltage.
  const lost = dropouts.filter(({ side }) => side === 'harness');
  if (lost.length < LEAST_LOSSES) return undefined;
  const steps = lost.slice(1).map(({ fromS }, i) => fromS - (lost[i]?.fromS ?? fromS));
  const usualS = median(steps);
  const even = steps.filter((stepS) => Math.abs(stepS / usualS - 1) < EVEN_PART);
  if (!(even.length > EVEN_SHARE * steps.length)) return undefined;
  return even.length / even.reduce((sum, stepS) => sum + stepS, 0);
}
