// Which reading next where many causes stand and each gives a plain number: the one that parts them into the most telling
// heaps. Causes by the hundred are too many to weigh each against each, and readings of a meter at rest are far apart or the
// same.

import { meterUncertainty } from './hand-meter.js';
import type { Probe } from './probe.js';
import type { Probing, Ranked } from './probing.js';
import { expectedOf } from './weigh.js';

/** Readings so many standard uncertainties apart are told apart without doubt: two 95 % intervals that do not meet. */
const APART = 4;
/** Of a hand's time: for what has to be done before, where the last reading was taken in another state. Common practice, no source. */
const SETUP_MIN = 0.7;
/** Less than this is rounding. */
const LEAST_BITS = 1e-6;

/** @param left every cause still in question. @returns undefined where no reading parts them. */
export function partingProbe(
  { menu, taken, passedOver }: Probing,
  left: readonly Ranked[],
  can: (probe: Probe) => boolean,
): { next: Probe; bits: number } | undefined {
  const done = new Set(taken.map(({ probe }) => probe.id));
  const stands = taken.at(-1)?.probe.setup;
  let best: { next: Probe; bits: number; rate: number } | undefined;
  for (const next of menu) {
    if (done.has(next.id) || passedOver.has(next.id) || !can(next)) continue;
    const bits = partedBits(next, left);
    const rate = bits / (next.costMin + (next.setup === stands ? 0 : SETUP_MIN));
    if (bits > LEAST_BITS && rate > (best?.rate ?? 0)) best = { next, bits, rate };
  }
  return best && { next: best.next, bits: best.bits };
}

/** Entropy of which heap the reading falls into, in bits. */
function partedBits(probe: Probe, left: readonly Ranked[]): number {
  if (probe.takes.kind === 'answer') throw new RangeError(`${probe.id} reads no number to part by`);
  const { range } = probe.takes;
  const { part = 0, floor = 0 } = probe.leavesOpen ?? {};
  const shown = left
    .flatMap(({ suspect, chance, parts }) =>
      expectedOf(probe, suspect).map((one, variant) => ({
        value: 'value' in one ? one.value : Number.NaN,
        weight: chance * (parts[variant] ?? 0),
      })),
    )
    .sort((a, b) => a.value - b.value);
  const heaps: number[] = [];
  let before = Number.NEGATIVE_INFINITY;
  for (const { value, weight } of shown) {
    const apart = APART * Math.hypot(meterUncertainty(range, before), part * before, floor);
    const isSame = value === before || value - before < apart;
    if (isSame && heaps.length > 0) heaps.push((heaps.pop() ?? 0) + weight);
    else heaps.push(weight);
    before = value;
  }
  const total = heaps.reduce((sum, heap) => sum + heap, 0);
  return heaps.reduce((sum, heap) => (heap > 0 ? sum - (heap / total) * Math.log2(heap / total) : sum), 0);
}
