// The one list of what a run is asked, in the order in which it is told. A new check is a file and a line here.

import type { Check } from '../verdict.js';
import { changeChecks } from './changes.js';
import type { CheckContext, CheckRule } from './context.js';
import { currentChecks } from './currents.js';
import { driveChecks } from './drive.js';
import { envelopeChecks } from './envelope.js';
import { heldRotorChecks, withoutTurning } from './held-rotor.js';
import { leakageChecks } from './leakage.js';
import { learnedChecks } from './learned.js';
import { learnedTogetherCheck } from './learned-together.js';
import { fedAtRestChecks, limitedChecks } from './limited.js';
import { limitChecks } from './limits.js';
import { releaseChecks } from './release.js';
import { restChecks } from './rest.js';
import { reversalChecks, withoutFalseStarts } from './reversal.js';
import { rippleChecks } from './ripple.js';
import { runChecks } from './run.js';
import { standInChecks } from './stand-in.js';
import { styleCheck } from './style.js';
import { togetherCheck } from './together.js';
import { turnsChecks } from './turns.js';

const RULES: readonly CheckRule[] = [
  runChecks,
  standInChecks,
  limitedChecks,
  fedAtRestChecks,
  restChecks,
  changeChecks,
  driveChecks,
  turnsChecks,
  currentChecks,
  leakageChecks,
  limitChecks,
  togetherCheck,
  releaseChecks,
  styleCheck,
  rippleChecks,
  learnedChecks,
  learnedTogetherCheck,
  envelopeChecks,
  reversalChecks,
  heldRotorChecks,
];

/** Everything that is asked of a run of this kind; what the unit's subject and a hand make of it comes after. */
export function gatherChecks(context: CheckContext): Check[] {
  const asked = RULES.flatMap((rule) => rule(context));
  return withoutTurning(context, withoutFalseStarts(context, asked));
}
