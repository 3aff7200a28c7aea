// Asks whether the profile is right when a run reads like another kind of circuit. Told only, never a reason to fail:
// what is judged is held to the style that was chosen.

import { checkOf } from '../check.js';
import { contradictions, readingOfRun, readingOfStyle } from '../recognise.js';
import type { Check, CheckKind } from '../verdict.js';
import type { CheckContext } from './context.js';

const STYLE: CheckKind = { id: 'circuit-style', of: 'harness', rank: 180 };

/** Whether the run reads like another kind of circuit than the profile's. */
export const isStyle = ({ kind }: Check): boolean => kind.id === STYLE.id;

/** Nothing while the readings fit, or where no circuit of a unit is judged. */
export function styleCheck(context: CheckContext): Check[] {
  const { style, unit, motor, load } = context.unit;
  if (style.subject !== undefined || unit.subject === 'relay' || context.stop !== undefined) return [];
  const seen = readingOfRun(context.seen, motor.nominalVoltageV);
  // Without back-EMF a release shows nothing of the circuit.
  if (load !== undefined) delete seen.release;
  const found = contradictions(seen, readingOfStyle(style)).map(({ words }) => words);
  if (found.length === 0) return [];
  const sentence = `This reads like ${found.join(', and like ')}: is the profile right?`;
  return [checkOf(STYLE, { sentence, outcome: 'not-tested', required: false, origin: 'model' })];
}
