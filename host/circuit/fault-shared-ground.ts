// A coil that returns through the motor's own ground joint: the motor's current lifts that joint, and what is left for the
// coil no longer holds the relay. Only a style whose coils return to ground in the harness can have it on the rig.

import type { CircuitStyle } from '../profile/index.js';
import { type Fault, faultOf } from './fault.js';
import { land, series } from './fault-edits.js';
import { wiresFor } from './fault-wires.js';
import { placeWords, theWords } from './fault-words.js';

/** From a joint that only takes from the coil to one under which the relay chatters. Common practice, no source. */
const JOINT_OHM = 4;
const OTHER_JOINTS_OHM = [0.7, 1.7];
/** Chance that the current is gone for moments together with a lead. Common practice, no source. */
const CHATTERS = 0.5;

export function sharedGroundFaults(style: CircuitStyle): Fault[] {
  const [ground] = wiresFor(style, 'ground');
  const coil = wiresFor(style, 'coil-feed').find(({ b }) => b === 'rig.ground');
  if (ground === undefined || coil === undefined) return [];
  const joint = (ohm: number) => [land(coil.id, 'b', ground.a), series(ground.id, 'b', ohm)];
  return [
    faultOf([coil, ground], 'on-bad-motor-ground', 'misplaced', {
      cause: `${theWords(coil)} shares the bad ground joint of the motor`,
      because: 'the relay chatters or drops out',
      nextProbe: `Give ${theWords(coil)} a ground of its own, apart from ${placeWords(style, ground.a)}, and throw again.`,
      does: 'trace',
      at: [coil.b, ground.a],
      edits: joint(JOINT_OHM),
      further: OTHER_JOINTS_OHM.map(joint),
      dropouts: { harness: CHATTERS },
    }),
  ];
}
