// A relay's run as its checks see it, made by hand: readings of the run as a whole, cycles, what lies across the coil.

import type { Check } from '../../../host/judge/index.js';
import { relayChecks } from '../../../host/judge/relay/checks.js';
import type { RelayContext } from '../../../host/judge/relay/context.js';
import type { CycleSeen, RelayMeasured, SuppressionSeen } from '../../../host/measure/index.js';
import type { RelayProfile, ResolvedUnit } from '../../../host/profile/index.js';
import { checkNamed, measuredOf, type Reads, shipped, WHOLE } from '../handmade.js';

export const ALONE = shipped('mini-changeover-alone');

export function relayOf(unit: ResolvedUnit = ALONE): RelayProfile {
  if (unit.relay === undefined) throw new Error('no relay');
  return unit.relay;
}

export const cycle = (
  before: CycleSeen['before'],
  on: CycleSeen['on'],
  after: CycleSeen['after'],
): CycleSeen => ({ operate: { gapless: false }, release: { gapless: false }, before, on, after });

export interface MadeRelay {
  unit?: ResolvedUnit;
  /** Stands over what the profile says. */
  relay?: Partial<RelayProfile>;
  read?: Reads;
  /** By default the resistor that belongs there. */
  suppression?: SuppressionSeen;
  cycles?: CycleSeen[];
  stop?: string;
}

export const AS_IT_SHOULD: SuppressionSeen = { kind: 'resistor', ohm: 680, standardUncertainty: 10 };

export const seenOf = ({ read = {}, suppression = AS_IT_SHOULD, cycles = [] }: MadeRelay): RelayMeasured => ({
  measured: measuredOf([[WHOLE, read]]),
  suppression,
  cycles,
  notes: [],
});

export function relayContextOf(made: MadeRelay = {}): RelayContext {
  const unit = made.unit ?? ALONE;
  return { unit, relay: { ...relayOf(unit), ...made.relay }, seen: seenOf(made), stop: made.stop };
}

/** All checks of a relay made by hand. */
export const checksOf = (made: MadeRelay = {}): Check[] => relayChecks(relayContextOf(made));
/** The only one with this id. @throws where there is none */
export const relayCheck = (id: string, made: MadeRelay = {}): Check => checkNamed(checksOf(made), id);
