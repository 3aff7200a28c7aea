// Two things inside a motor that look like others: water in it, and a protector that opens early.
// Strengths are choices of this model within what workshops tell; each says what it is told from.

import type { StyleElement } from '../profile/index.js';
import { type Fault, type FaultKind, faultOf, type StatedFault } from './fault.js';
import { bridge, type FaultEdit } from './fault-edits.js';

type Motor = Extract<StyleElement, { kind: 'motor' }>;

/** Each terminal to the case, and terminal to terminal over wet brush dust: milliamps to half an ampere. Common practice, no source. */
const WET = { caseOhm: 25, brushesOhm: 50 };
const WETTER = { caseOhm: 8, brushesOhm: 20 };
const DAMP = { caseOhm: 80, brushesOhm: 160 };
/** Of what leaks a little, water is met oftenest. Common practice, no source. */
const WET_OFTEN = 1.5;
/** Of the running current it carries for ever; a second at twice that. Good ones open in 4 to 90 s at stall (workshop manuals). */
const HOLDS_PART = { bimetal: [0.5, 0.35, 0.7], ptc: [0.5] };
const OPENS_S = 1;
const RESET_S = 30;
const COLD_OHM = 0.03;
/** A bimetal is open, a hot thermistor passes some tenths of an ampere. Common practice, no source. */
const TRIPPED_OHM = { bimetal: 1e6, ptc: 60 };

export function insideFaults(motor: Motor): Fault[] {
  const { id, a, b } = motor;
  const own = (what: string, kind: FaultKind, stated: StatedFault): Fault =>
    faultOf([motor], what, kind, stated);
  const wet = ({ caseOhm, brushesOhm }: typeof WET): FaultEdit[] => [
    bridge(a, 'rig.ground', caseOhm),
    bridge(b, 'rig.ground', caseOhm),
    bridge(a, b, brushesOhm),
  ];
  const opens = (type: keyof typeof TRIPPED_OHM, holdsPart: number): FaultEdit[] => [
    {
      do: 'protect',
      motor: id,
      holdsPart,
      protector: {
        type,
        coldResistanceOhm: COLD_OHM,
        tripResistanceOhm: TRIPPED_OHM[type],
        tripTimeAtDoubleS: OPENS_S,
        resetS: RESET_S,
      },
    },
  ];
  const [edits = [], ...further] = (['bimetal', 'ptc'] as const).flatMap((type) =>
    HOLDS_PART[type].map((part) => opens(type, part)),
  );
  return [
    own('wet', 'shorted', {
      cause: 'water is in the motor',
      because: 'current leaks from both leads to its case and past its armature',
      nextProbe:
        'Unplug the motor, measure each terminal to its case, dry it in the warm for a day and measure again: a wet one comes up.',
      does: 'measure-resistance',
      at: [a, 'rig.ground'],
      commonness: WET_OFTEN,
      edits: wet(WET),
      further: [wet(WETTER), wet(DAMP)],
    }),
    own('protector-weak', 'worn', {
      cause: 'the protector in the motor opens early',
      because: 'it runs, stops with its leads fed, and runs again after a rest',
      nextProbe:
        'Leave the feed off for two minutes and throw again: a motor that runs and stops once more has a weak protector.',
      does: 'look',
      commonness: 0.5,
      edits,
      further,
    }),
  ];
}
