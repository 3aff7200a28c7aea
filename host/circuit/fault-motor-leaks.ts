// A motor that leaks to its case: a winding that touches it, or water. A few ohms to some hundred may be either, and then
// no reading parts them: they share those ways to show, so that they are told as one.

import type { StyleElement } from '../profile/index.js';
import { type Fault, faultOf } from './fault.js';
import { bridge, type FaultEdit } from './fault-edits.js';

type Motor = Extract<StyleElement, { kind: 'motor' }>;

/** Burnt winding or carbon track onto the case: little beside the winding. Common practice, no source. */
const WINDING_TO_CASE_OHM = 0.1;
const BURNT_OHM = 3;
/** Wet or tracked insulation on one side: it may hold for years at such ohms, and warms. */
const ONE_SIDED_OHM = [10, 30, 80];
/** Each terminal to the case, and terminal to terminal over wet brush dust: milliamps to half an ampere. Common practice, no source. */
const WET = { caseOhm: 25, brushesOhm: 50 };
const OTHER_WET = [
  { caseOhm: 8, brushesOhm: 20 },
  { caseOhm: 80, brushesOhm: 160 },
];
/** Of what leaks a little, water is met oftenest. Common practice, no source. */
const WET_OFTEN = 1.5;

export function leakFaults(motor: Motor): Fault[] {
  const { a, b } = motor;
  const sides = (['a', 'b'] as const).map((side) => ({
    side,
    leaks: ONE_SIDED_OHM.map((ohm): FaultEdit[] => [bridge(motor[side], 'rig.ground', ohm)]),
  }));
  const wet = ({ caseOhm, brushesOhm }: typeof WET): FaultEdit[] => [
    bridge(a, 'rig.ground', caseOhm),
    bridge(b, 'rig.ground', caseOhm),
    bridge(a, b, brushesOhm),
  ];
  const soaked = wet(WET);
  const otherWet = OTHER_WET.map(wet);
  return [
    ...sides.map(({ side, leaks }) =>
      faultOf([motor], `winding-${side}-to-case`, 'shorted', {
        cause: `the motor winding touches its grounded case on the side of lead ${side.toUpperCase()}`,
        nextProbe: 'Unplug the motor and measure from each of its terminals to the case: it must read open.',
        does: 'measure-resistance',
        at: [motor[side], 'rig.ground'],
        edits: [bridge(motor[side], 'rig.ground', WINDING_TO_CASE_OHM)],
        further: [[bridge(motor[side], 'rig.ground', BURNT_OHM)], ...leaks, soaked, ...otherWet],
      }),
    ),
    faultOf([motor], 'wet', 'shorted', {
      cause: 'water is in the motor',
      because: 'current leaks from its leads to its case and past its armature',
      nextProbe:
        'Unplug the motor, measure each terminal to its case, dry it in the warm for a day and measure again: a wet one comes up.',
      does: 'measure-resistance',
      at: [a, 'rig.ground'],
      commonness: WET_OFTEN,
      edits: soaked,
      further: [...otherWet, ...sides.flatMap(({ leaks }) => leaks)],
    }),
  ];
}
