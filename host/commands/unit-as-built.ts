// A unit as it is built: with its own switch and jumpers, whatever the rig stands in for when it is tested; or the same
// motor on another circuit, before anybody has written a profile for that.

import { type BrokenClaim, brokenClaim, CircuitError } from '../circuit/index.js';
import type { InputError } from '../input/index.js';
import { builtInput, onPullingRelays } from '../plan/index.js';
import { loadRelay, loadUnit, openCircuit, type ResolvedUnit } from '../profile/index.js';

/** Put where a circuit wants relays and the profile has none. */
const USUAL_RELAY = 'mini-changeover';

interface AsBuilt {
  unit: ResolvedUnit;
  /** What its circuit does not do as its file says. */
  fault?: InputError;
}

/**
 * What the unit's file names lies beside that file, or where all profiles lie.
 * @throws InputError, also for a circuit that does not do what its file says
 */
export function unitAsBuilt(profile: string, circuit?: string): ResolvedUnit {
  const { unit, fault } = asBuilt(profile, circuit);
  if (fault !== undefined) throw fault;
  return unit;
}

function claimBroken(unit: ResolvedUnit): BrokenClaim | undefined {
  try {
    return brokenClaim(onPullingRelays(builtInput(unit)));
  } catch (error) {
    if (!(error instanceof CircuitError)) throw error;
    return { place: ['elements'], what: error.problem.sentence, mend: 'correct what is joined there' };
  }
}

/** The same, whatever its circuit does. @throws InputError for files that cannot be read */
export function asBuilt(profile: string, circuit?: string): AsBuilt {
  const unit = loadUnit(profile);
  const { value: style, file } = openCircuit(circuit ?? unit.style.id, profile);
  const hasRelays = style.elements.some(({ kind }) => kind === 'relay');
  const { relay = hasRelays ? loadRelay(USUAL_RELAY, profile) : undefined, ...others } = unit;
  const built = { ...others, style, ...(relay === undefined || !hasRelays ? {} : { relay }) };
  const found = claimBroken(built);
  return {
    unit: built,
    ...(found === undefined ? {} : { fault: file.fault(found.place, found.what, found.mend) }),
  };
}
