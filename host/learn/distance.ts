// How far the readings of one run, taken together, lie from those of the good units.

import { itemAt } from '../arrays/index.js';
import type { Measured, Reading } from '../measure/index.js';
import type { Learned, LearnedQuantity } from '../profile/index.js';
import { supplyOf } from './run.js';
import { carried, carriedBack, type Scale, scaled, unscaled } from './scale.js';
import { dot, inverseOf, times } from './symmetric.js';

export interface LearnedDistance {
  /** In spreads: the root of T squared. */
  distance: number;
  /** What the uncertainties of the readings give it. */
  expandedUncertainty: number;
  upper: number;
  /** Readings that were taken together. */
  readings: number;
  /** The one that fits the others least, and what they lead one to expect in its place. */
  oddest: Reading;
  expected: number;
}

interface Placed {
  reading: Reading;
  scale: Scale;
  supplyV: number | undefined;
  centre: number;
  spread: number;
  /** From the centre, in spreads. */
  away: number;
  /** Expanded, in spreads. */
  uncertainty: number;
  place: number;
}

const scaleIn = ({ spread, centre, supplyPower, atSupplyV }: LearnedQuantity): Scale => ({
  ...{ spread, sign: spread === 'plain' ? 1 : Math.sign(centre) },
  ...(supplyPower === undefined || atSupplyV === undefined ? {} : { supplyPower, atSupplyV }),
});

/**
 * Readings that the run lacks are left out: without them the distance is smaller, so the limit errs to the safe side.
 * Undefined where no joint limit was learned or fewer than two of its readings were read.
 */
export function learnedDistance(learned: Learned, measured: Measured): LearnedDistance | undefined {
  const { together, quantities } = learned;
  if (together === undefined) return undefined;
  const placed = together.readings.flatMap(({ reading: key, spread }, place): Placed[] => {
    const taught = quantities[key];
    const reading = measured[key];
    if (taught === undefined || reading?.unit !== taught.unit) return [];
    const one = placedIn(taught, spread, reading, supplyOf(reading, measured));
    return Number.isFinite(one.away) ? [{ ...one, place }] : [];
  });
  if (placed.length < 2) return undefined;
  const row = (place: number): readonly number[] => itemAt(together.readings, place).correlation;
  const inverse = inverseOf(
    placed.map(({ place: i }) => placed.map(({ place: j }) => itemAt(row(Math.max(i, j)), Math.min(i, j)))),
  );
  const away = placed.map((one) => one.away);
  const weighted = times(inverse, away);
  const distance = Math.sqrt(Math.max(0, dot(away, weighted)));
  // Of T squared each reading by itself takes so much: what is left of it when the others have told all they know.
  const alone = weighted.map((w, k) => w / itemAt(itemAt(inverse, k), k));
  const most = weighted.reduce(
    (best, w, k) => (w * itemAt(alone, k) > itemAt(weighted, best) * itemAt(alone, best) ? k : best),
    0,
  );
  const oddest = itemAt(placed, most);
  const expected = oddest.centre + (oddest.away - itemAt(alone, most)) * oddest.spread;
  return {
    distance,
    expandedUncertainty:
      Math.hypot(...weighted.map((w, k) => w * itemAt(placed, k).uncertainty)) / Math.max(distance, 1e-9),
    upper: together.upper,
    readings: placed.length,
    oddest: oddest.reading,
    expected: carriedBack(oddest.scale, unscaled(oddest.scale, expected), oddest.supplyV),
  };
}

function placedIn(
  taught: LearnedQuantity,
  spread: number,
  reading: Reading,
  supplyV: number | undefined,
): Omit<Placed, 'place'> {
  const scale = scaleIn(taught);
  const { value, expandedUncertainty } = reading;
  const centre = scaled(scale, { value: taught.centre, supplyV: scale.atSupplyV });
  const slope =
    scale.spread === 'plain' ? Math.abs(carried(scale, 1, supplyV)) : 1 / Math.max(Math.abs(value), 1e-12);
  return {
    ...{ reading, scale, supplyV, centre, spread },
    away: (scaled(scale, { value, supplyV }) - centre) / spread,
    uncertainty: (slope * expandedUncertainty) / spread,
  };
}
