// At rest through the limited feed, before any full one: whether something is driven already, against what the style rests
// on. A welded contact, or 87 and 87a exchanged, would start the motor by itself the moment the full feed came on.

import { amount } from '../tell/index.js';
import type { MeasureResult } from './measure.js';
import type { QuantityName } from './quantities.js';
import type { Quantity } from './quantity.js';
import { readingOf } from './reading.js';
import { isThrow, type RunStretch } from './run-stretch.js';

/** A resting circuit draws nothing; the least that a wet or backfed one was seen to draw is above this (common practice). */
const DRIVEN_A = 0.2;
/** Past the motor a leak may take its way: this much is more than one (14 Ohm at 13 V and 12 Ohm; choice, no source). */
const STRAY_A = 0.5;
/** A lead on its own ground contact stands within a volt of it (workshop terminal tables); at half the supply it is fed. */
const FED_PART = 0.5;
/** A current within this many standard uncertainties of zero is none. */
const NO_CURRENT = 5;

export type RestState = 'open' | 'grounded' | 'high';

export interface FedAtRest {
  of: RunStretch;
  /** Absent where it cannot be told from the readings. */
  lead?: 'A' | 'B';
  /** What flows: through the motor, else out of the supply; absent where a lead only stands at the feed. */
  current?: Quantity;
  /** Through the motor: it is driven, not only fed. */
  isDriven: boolean;
  /** What stands there, to be told behind `Lead A is already fed at rest`. */
  told: string;
}

/**
 * The first limited rest that decides whether the full feed may follow and shows something driven; undefined when none
 * does. The rest behind the last limited throw is still being sampled when the decision falls, so it has no part in it.
 */
export function fedAtRest(
  { measured, segments }: Pick<MeasureResult, 'measured' | 'segments'>,
  restState: RestState,
  nominalVoltageV: number,
): FedAtRest | undefined {
  const limited = segments.filter(({ of }) => of.feed === 'limited');
  const lastThrow = limited.findLastIndex(({ of }) => isThrow(of));
  for (const { of } of limited.slice(0, Math.max(1, lastThrow + 1))) {
    if (isThrow(of)) continue;
    const level = (what: QuantityName): Quantity | undefined => readingOf(measured, what, of);
    const found = driven(of, level) ?? standing(of, level, restState, nominalVoltageV);
    if (found) return found;
  }
  return undefined;
}

type Level = (what: QuantityName) => Quantity | undefined;

/** A current that flows although nothing is thrown; levels come from a stretch's end, where a brake current has long gone. */
function driven(of: RunStretch, level: Level): FedAtRest | undefined {
  const motor = level('motorCurrentA');
  if (motor && flows(motor, DRIVEN_A)) {
    const lead = motor.value > 0 ? 'A' : 'B';
    return {
      of,
      lead,
      current: motor,
      isDriven: true,
      told: `${amount(Math.abs(motor.value), 'A', 2)} flows`,
    };
  }
  const feed = level('feedCurrentA');
  if (!feed || !flows(feed, STRAY_A)) return undefined;
  return { of, current: feed, isDriven: false, told: `${amount(feed.value, 'A', 2)} flows past the motor` };
}

/**
 * A lead at the feed in a style that holds it on ground. An open lead is not asked: there a little leakage looks the same,
 * and a contact that feeds it in earnest shows as a short when the throw grounds the lead.
 */
function standing(
  of: RunStretch,
  level: Level,
  restState: RestState,
  nominalVoltageV: number,
): FedAtRest | undefined {
  if (restState !== 'grounded') return undefined;
  const fedV = FED_PART * (level('supplyVoltageV')?.value ?? nominalVoltageV);
  const [a, b] = [level('leadAVoltageV'), level('leadBVoltageV')];
  const isFed = (lead: Quantity | undefined): boolean =>
    lead !== undefined && lead.value - lead.expandedUncertainty > fedV;
  const [fed, other] = isFed(a) ? [a, b] : [b, a];
  if (!fed || !isFed(fed)) return undefined;
  // Both at the feed and nothing flows: it rests high, another circuit than its profile's, and nothing starts by itself.
  if (isFed(other)) return undefined;
  return {
    of,
    lead: fed === a ? 'A' : 'B',
    isDriven: false,
    told: `it stands at ${amount(fed.value, 'V', 1)}`,
  };
}

const flows = ({ value, standardUncertainty }: Quantity, leastA: number): boolean =>
  Math.abs(value) > leastA && Math.abs(value) > NO_CURRENT * standardUncertainty;

/** Cause first, for screen and record alike: `Lead A is already fed at rest: the motor would start by itself.` */
export function fedSentence({ lead, isDriven, told }: FedAtRest): string {
  if (lead === undefined) return `Something is already fed at rest: ${told} with nothing thrown.`;
  const means = isDriven
    ? 'the motor would start by itself'
    : 'a contact is welded, or 87 and 87a are exchanged';
  return `Lead ${lead} is already fed at rest: ${means}; ${told} with nothing thrown.`;
}
