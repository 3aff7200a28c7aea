// A protector in the motor that opens early, before a good one would at stall. It leaves the leads fed, as an open motor
// does, and closes again after a rest. Choices of this model within what workshops tell.

import type { StyleElement } from '../profile/index.js';
import { type Fault, faultOf } from './fault.js';
import type { FaultEdit } from './fault-edits.js';

type Motor = Extract<StyleElement, { kind: 'motor' }>;

/** Of the running current it carries for ever; a second at twice that. Good ones open in 4 to 90 s at stall (workshop manuals). */
const HOLDS_PART = { bimetal: [0.5, 0.35, 0.7], ptc: [0.5] };
const OPENS_S = 1;
const RESET_S = 30;
const COLD_OHM = 0.03;
/** A bimetal is open, a hot thermistor passes some tenths of an ampere. Common practice, no source. */
const TRIPPED_OHM = { bimetal: 1e6, ptc: 60 };

export function protectorFaults(motor: Motor): Fault[] {
  const { id } = motor;
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
    faultOf([motor], 'protector-weak', 'worn', {
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
