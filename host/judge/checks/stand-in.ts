// What was not on the bench is not judged: with the rig's stand-in in place of the harness's switch that is told, and
// nothing is said against the switch. Its faults leave the list with it (profile/stand-in.ts).

import { notOnBench } from '../../profile/index.js';
import { listed } from '../../tell/index.js';
import { checkOf } from '../check.js';
import type { Check, CheckKind } from '../verdict.js';
import type { CheckContext } from './context.js';

const SWITCH: CheckKind = { id: 'switch-itself', of: 'harness', rank: 180 };

/** Told behind every verdict of such a run. */
export const SWITCH_NOT_TESTED = 'The switch itself was not tested.';

export function standInChecks({ unit }: CheckContext): Check[] {
  const missing = notOnBench(unit.style).map(({ title }) => title);
  if (missing.length === 0) return [];
  return [
    checkOf(SWITCH, {
      sentence: `The rig's stand-in threw in place of the harness's own switch; not on the bench: ${listed(missing)}.`,
      outcome: 'not-tested',
      required: false,
    }),
  ];
}
