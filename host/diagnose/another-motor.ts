// Another motor than the usual one of its family, with nothing wrong with it: what every condition of a motor competes
// with while nobody has its numbers.

import { itemAt } from '../arrays/index.js';
import {
  type FamilyPlace,
  type Fault,
  type FaultEdit,
  familyMotor,
  familyOf,
  faultOf,
  isOnMechanism,
  motorNumbers,
  motorOf,
  nominalInput,
} from '../circuit/index.js';
import type { ResolvedUnit } from '../profile/index.js';
import { ANOTHER_MOTOR } from './nothing-wrong.js';

/** As common as a good unit is: parts are mixed up, and families have no edges. Common practice, no source. */
const COMMONNESS = 3;
/** Beyond the ends of the family by these parts; between them lies its middle. Choice of this program, no source. */
const HELD = { least: 0.6, most: 1.5 };
const RUNNING = { least: 0.5, most: 1.6 };

/** Undefined where the profile's numbers are a specification. */
export function anotherMotor(unit: ResolvedUnit): Fault | undefined {
  const family = familyOf(unit);
  if (family === undefined || unit.unit.subject === 'harness') return undefined;
  const { motor } = nominalInput(unit);
  const { id } = motorOf(unit.style);
  const held = spots(family.heldA, HELD);
  const running = spots(family.runningA, RUNNING);
  const onMechanism = isOnMechanism(unit);
  const asEdits = (place: Pick<FamilyPlace, 'held' | 'running' | 'runningReverse'>): FaultEdit[] => {
    const other = familyMotor(motor, family, { ...place, runUp: 0.5, coil: 0.5, flux: 0.5 });
    return [{ do: 'set', element: id, values: motorNumbers(other) }];
  };
  const ways = held.flatMap((heldPlace) =>
    running.flatMap((place, i) => {
      const opposite = itemAt(running, running.length - 1 - i);
      return [...new Set([place, ...(onMechanism ? [opposite] : [])])].map((runningReverse) =>
        asEdits({ held: heldPlace, running: place, runningReverse }),
      );
    }),
  );
  const [edits = [], ...further] = ways;
  return {
    ...faultOf([], ANOTHER_MOTOR, 'none', {
      cause: 'the motor is another one than the usual, and nothing need be wrong with it',
      nextProbe: "Compare it with a known good motor of its kind, or with its maker's figures.",
      does: 'look',
      edits,
      further,
      commonness: COMMONNESS,
    }),
    owner: 'motor',
  };
}

/** Below the range, in its middle and above it, as places in it. */
function spots(
  { least, most }: { least: number; most: number },
  beyond: { least: number; most: number },
): number[] {
  return [
    (beyond.least * least - least) / (most - least),
    0.5,
    (beyond.most * most - least) / (most - least),
  ];
}
