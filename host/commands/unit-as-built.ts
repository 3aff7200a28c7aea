// A unit as it is built: with its own switch and jumpers, whatever the rig stands in for when it is tested; or the same
// motor on another circuit, before anybody has written a profile for that.

import { loadCircuit, loadRelay, loadUnit, type ResolvedUnit } from '../profile/index.js';

/** Put where a circuit wants relays and the profile has none. */
const USUAL_RELAY = 'mini-changeover';

/** What the unit's file names lies beside that file, or where all profiles lie. @throws InputError */
export function unitAsBuilt(profile: string, circuit?: string): ResolvedUnit {
  const unit = loadUnit(profile);
  const style = loadCircuit(circuit ?? unit.style.id, profile);
  const hasRelays = style.elements.some(({ kind }) => kind === 'relay');
  const { relay = hasRelays ? loadRelay(USUAL_RELAY, profile) : undefined, ...others } = unit;
  return { ...others, style, ...(relay === undefined || !hasRelays ? {} : { relay }) };
}
