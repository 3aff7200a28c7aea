// The circuit on the training bench in the pieces that a person can take it into: of the true values that the virtual rig
// draws for the case.

import { faultById } from '../../circuit/index.js';
import { CircuitsInPieces } from '../../diagnose/index.js';
import type { ResolvedUnit, VirtualCase } from '../../profile/index.js';
import { chance, drawClockErrorPpm, trueUnit } from '../../virtual-rig/index.js';

export class TrueCircuits extends CircuitsInPieces {
  constructor(unit: ResolvedUnit, virtualCase: VirtualCase) {
    const present = virtualCase.faults.map((id) => faultById(unit, id));
    super(unit, present, (inIt) => {
      const dice = chance(virtualCase.seed);
      // In the order of the virtual rig, so that the values are the same.
      drawClockErrorPpm(unit.rig, dice);
      return trueUnit(unit, { ...virtualCase, faults: inIt.map(({ id }) => id) }, dice);
    });
  }
}
