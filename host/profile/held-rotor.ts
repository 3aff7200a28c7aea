// Plans that hold the rotor: a person blocks the output before the full feed comes, and every throw with it is short.

import { BOARD_LONGEST_S, BOARD_MARGIN_S } from './board-hold.js';
import type { CircuitStyle } from './circuit-style.js';
import type { MotorProfile, Plan, RigProfile, UnitProfile } from './schema.js';
import type { YamlFile } from './yaml-file.js';

/** What a person is asked before such a plan's first held throw. */
export const HOLD_ROTOR = 'hold-rotor';

/** Whether the plan's full-feed throws meet a blocked output: all of them do, or none. */
export const holdsRotor = ({ steps }: Pick<Plan, 'steps'>): boolean =>
  steps.some(({ heldRotor }) => heldRotor === true);

/** Beyond the last moment at which a good protector opens, so that one that does not is seen. */
const BEYOND_LIMIT_S = 1;

/** The plan's steps as they are driven: a hold for the protector goes on as long as it, the motor and the rig ask for. */
export function drivenSteps(unit: { plan: Plan; motor: MotorProfile; rig: RigProfile }): Plan['steps'] {
  const { plan, motor, rig } = unit;
  const { protector } = motor;
  if (protector === undefined) return plan.steps;
  const borneS = Math.min(motor.longestHoldS, rig.longestHoldS) - BOARD_MARGIN_S;
  const holdS = Math.min(protector.opensToS + BEYOND_LIMIT_S, borneS);
  return plan.steps.map((step) =>
    step.untilProtectorOpens ? { ...step, durationS: Math.max(step.durationS, holdS) } : step,
  );
}

/** Held at 13 V, such as a window lift at its strongest (published: 12 to 25 A). */
const HELD_W = 13 * 20;

/**
 * Rig and motor as they are for a plan whose hold lasts until the protector opens, ended by the board's own longest hold.
 * @throws InputError for a unit with a harness, or a motor that nothing would stop.
 */
export function forLongHold<T extends { motor: MotorProfile; rig: RigProfile }>(
  file: YamlFile,
  { plan, style, unit }: { plan: Plan; style: CircuitStyle; unit: UnitProfile },
  parts: T,
): T {
  if (plan.longHold !== true) return parts;
  if (style.subject !== 'motor') {
    throw file.fault(
      ['circuit'],
      `${plan.id} holds a rotor for up to ${BOARD_LONGEST_S} s, and ${style.id} has wires and contacts that it would heat`,
      "test the motor alone, over the rig's own links: circuit: motor-alone",
    );
  }
  if (parts.motor.protector === undefined) {
    throw file.fault(
      ['motor'],
      `${unit.motor ?? parts.motor.id} declares no protector: 20 A at 13 V for ${BOARD_LONGEST_S} s are ${Math.round((HELD_W * BOARD_LONGEST_S) / 1000)} kJ that nothing stops`,
      "write protector: into the motor's profile if one is fitted, or take plan hold-the-rotor",
    );
  }
  return {
    ...parts,
    motor: { ...parts.motor, longestHoldS: BOARD_LONGEST_S },
    rig: { ...parts.rig, longestHoldS: BOARD_LONGEST_S },
  };
}

/** @throws InputError for a held throw that is none, comes unasked for, or stands beside throws that run free. */
export function checkHeldRotor(file: YamlFile, plan: Plan): void {
  if (!holdsRotor(plan)) return;
  let isAsked = false;
  for (const [index, step] of plan.steps.entries()) {
    if (step.ask === HOLD_ROTOR) isAsked = true;
    if (step.untilProtectorOpens && !step.heldRotor) {
      throw file.fault(
        ['steps', index, 'untilProtectorOpens'],
        'a protector is waited for with a held rotor only',
        'remove this line, or write heldRotor: true beside it',
      );
    }
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
