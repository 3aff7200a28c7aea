// What may be the matter and no run of this unit on this rig tells: said aloud, and never weighed against what it does
// tell. No readings stand for these.

import type { ResolvedUnit } from '../profile/index.js';

export interface NotWeighed {
  /** kebab-case, permanent. */
  id: string;
  /** As a clause. */
  cause: string;
  /** Why the rig does not tell, as a clause. */
  why: string;
  /** What tells instead. */
  nextProbe: string;
}

type Asked = Pick<ResolvedUnit, 'unit' | 'style' | 'plan' | 'load'>;

/** In the order in which they are told; none for a relay by itself. */
export function notWeighedOf({ unit, style, plan, load }: Asked): NotWeighed[] {
  if (unit.subject === 'relay') return [];
  const own = style.elements.filter(({ rigOwn }) => rigOwn !== true);
  const hasMotor = load === undefined && unit.subject !== 'harness';
  const hasHarness = unit.subject !== 'motor';
  const isByHand = plan.throwBy === 'operator';
  const lists: (false | readonly NotWeighed[])[] = [
    hasMotor && OF_MOTOR,
    hasMotor && hasHarness && [SECOND_MOTOR],
    hasHarness && style.thrownBy === 'trigger' && style.triggerSide === 'ground' && [SHARED_GROUND],
    hasHarness && own.some(({ kind }) => kind === 'relay') && [BARE_COILS],
    hasHarness && !isByHand && own.some(({ kind }) => kind === 'switch') && [FALLS_BACK],
  ];
  return lists.flatMap((list) => list || []);
}

const OF_MOTOR: readonly NotWeighed[] = [
  {
    id: 'electronic-module',
    cause: 'an electronic module in the motor pulses it or stops it by itself',
    why: 'the rig judges a bare motor, and what a module decides is out of its scope',
    nextProbe: 'Look for more than two pins or a module on the motor; test it with what belongs to it.',
  },
  {
    id: 'magnet-loose',
    cause: 'a magnet of the motor is loose',
    why: 'it reads as weak magnets, as a motor that turns hard, or as a locked one',
    nextProbe: 'Unplug the motor and shake it: a loose magnet rattles or scrapes.',
  },
];
const SECOND_MOTOR: NotWeighed = {
  id: 'second-motor-at-the-plug',
  cause: "a second motor hangs on the same two leads behind the rig's own motor terminals",
  why: 'both together read as one motor of half the resistance',
  nextProbe: 'Look at the plug: only one motor may hang on MOTOR-A and MOTOR-B.',
};
const SHARED_GROUND: NotWeighed = {
  id: 'switch-ground-on-bad-motor-ground',
  cause: 'the small switch shares the bad ground joint of the motor, and the relay chatters',
  why: 'on the bench the rig grounds the triggers itself',
  nextProbe:
    'On the vehicle measure that ground joint with the motor running: more than 0.1 V is a bad joint.',
};
const BARE_COILS: NotWeighed = {
  id: 'suppression-missing',
  cause: 'a relay, or both, have no suppression across the coil',
  why: "the rig's own clamps take the spike, and what a resistor draws lies within the coil's tolerance",
  nextProbe: 'Test each relay by itself: there the rig tells bare coil, resistor and diode apart.',
};
const FALLS_BACK: NotWeighed = {
  id: 'switch-falls-back',
  cause: 'the switch falls back by itself, its detent worn',
  why: "the rig's stand-in throws in its place",
  nextProbe: 'Run the unit with its own switch, thrown by hand, and let go of it once it is thrown.',
};
