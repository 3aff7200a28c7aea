// Plans that hold the rotor: a person blocks the output before the full feed comes, and every throw with it is short.

import type { Plan } from './schema.js';
import type { YamlFile } from './yaml-file.js';

/** What a person is asked before such a plan's first held throw. */
export const HOLD_ROTOR = 'hold-rotor';

/** Whether the plan's full-feed throws meet a blocked output: all of them do, or none. */
export const holdsRotor = ({ steps }: Pick<Plan, 'steps'>): boolean =>
  steps.some(({ heldRotor }) => heldRotor === true);

/** @throws InputError for a held throw that is none, comes unasked for, or stands beside throws that run free. */
export function checkHeldRotor(file: YamlFile, plan: Plan): void {
  if (!holdsRotor(plan)) return;
  let isAsked = false;
  for (const [index, step] of plan.steps.entries()) {
    if (step.ask === HOLD_ROTOR) isAsked = true;
    const isFullThrow = step.position !== 'rest' && step.feed === 'full';
    if (step.heldRotor && !isFullThrow) {
      throw file.fault(
        ['steps', index, 'heldRotor'],
        'only a throw with the full feed holds a rotor',
        'remove this line, or write a position and feed: full',
      );
    }
    if (isFullThrow && !step.heldRotor) {
      throw file.fault(
        ['steps', index],
        'a throw with the full feed runs free while others are held',
        'write heldRotor: true, or put it in a plan of its own',
      );
    }
    if (isFullThrow && !isAsked) {
      throw file.fault(
        ['steps', index],
        'a rotor is held before anybody was asked to',
        `put a rest step with ask: ${HOLD_ROTOR} before it`,
      );
    }
  }
}
