// Whether a capture shows a fault at all, whatever anybody made of it: the readings of a faulty unit beside those of the
// same unit without the fault, same bench, same instrument, same happenings, by their ± and the spread of good units.

import type { Expectation } from '../../host/judge/index.js';
import {
  type MeasureResult,
  QUANTITIES,
  type Reading,
  type Segment,
  UNSEEN_SUPPLY,
} from '../../host/measure/index.js';

/** Of good units, each way: 95 % of a normal population. */
const COVERAGE = 2;

/** Steps over what a supply that nobody sampled may be. */
const SUPPLY_STEPS = 60;

type Seen = Pick<MeasureResult, 'measured' | 'segments' | 'notSampled'>;

/**
 * On no supply that the capture leaves open do both read the same. Throws that one of both did not make are left out: nobody tells such a capture whether the switch was thrown. Neither
 * does a throw more.
 */
export function isShownBy(
  faulty: Seen,
  good: Seen,
  { features }: Pick<Extract<Expectation, { kind: 'unit' }>, 'features'>,
): boolean {
  const inBoth = ({ of }: Reading): boolean => {
    const whole = ({ segments }: Seen): boolean => segments.some((one) => one.of.id === of?.id && !one.brief);
    return of === undefined || (whole(faulty) && whole(good));
  };
  const isOtherOn = (ratio: number): boolean =>
    Object.entries(faulty.measured).some(([key, read]) => {
      const usual = good.measured[key];
      if (!inBoth(read)) return false;
      if (usual === undefined) return isOfRelease(read);
      const value = usual.value * ratio ** (QUANTITIES[read.what].law?.supply ?? 0);
      const deviation = features[key]?.conditioned.deviation ?? 0;
      const open = Math.hypot(read.expandedUncertainty, usual.expandedUncertainty, COVERAGE * deviation);
      return Math.abs(read.value - value) > open;
    });
  const isOther = suppliesOf(faulty).every(isOtherOn);
  const isGone = Object.entries(good.measured).some(
    ([key, usual]) => isOfRelease(usual) && inBoth(usual) && faulty.measured[key] === undefined,
  );
  return isOther || isGone || releasesDiffer(faulty.segments, good.segments);
}

/** Over the one that both had. */
function suppliesOf({ notSampled }: Seen): number[] {
  if (!notSampled.includes('supplyVoltageV')) return [1];
  const { least, most } = UNSEEN_SUPPLY;
  return Array.from({ length: SUPPLY_STEPS + 1 }, (_, k) => least + ((most - least) * k) / SUPPLY_STEPS);
}

const isOfRelease = ({ what }: Reading): boolean => QUANTITIES[what].group === 'release';

const releasesDiffer = (a: readonly Segment[], b: readonly Segment[]): boolean =>
  a.some(({ of, release }) => {
    const other = b.find((one) => one.of.id === of.id)?.release;
    return release !== undefined && other !== undefined && release !== other;
  });
