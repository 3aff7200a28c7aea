// Which way the output goes when it is thrown forward: in the words of the unit's profile, and as somebody saw it. No
// channel reads it, so it is asked.

import * as z from 'zod';
import type { CircuitStyle } from './circuit-style.js';
import { holdsRotor } from './held-rotor.js';
import type { Plan, UnitProfile } from './schema.js';

/** `as-forward` and `as-reverse` are the ways that the profile declares; the two pairs stand where it declares none. */
const MOVED = [
  ...(['as-forward', 'as-reverse'] as const),
  ...(['opened', 'closed', 'clockwise', 'anticlockwise'] as const),
  ...(['still', 'unseen'] as const),
] as const;
export type Moved = (typeof MOVED)[number];

export const waySeenSchema = z.strictObject({
  moved: z.enum(MOVED),
  by: z.enum(['person', 'virtual-bench']),
});
export type WaySeen = z.infer<typeof waySeenSchema>;

/** Of one forward throw, against what a good unit does. */
export type Turned = 'right-way' | 'other-way' | 'still';

export interface WayChoice {
  moved: Moved;
  words: string;
}

/** A unit as far as it tells how it moves. */
export interface Moving {
  unit: UnitProfile;
  style: CircuitStyle;
  plan: Plan;
  load?: unknown;
}

/** What forward and reverse should do, `up` and `down`; else what the ends of the unit's own switch are called. */
export function declaredWays({
  unit,
}: Pick<Moving, 'unit'>): { forward: string; reverse: string } | undefined {
  const { moves, switchNames } = unit;
  if (moves || !switchNames) return moves;
  return { forward: switchNames.forward.toLowerCase(), reverse: switchNames.reverse.toLowerCase() };
}

/** Whether an output turns when the plan throws forward, so that a person can see which way. */
export const showsItsWay = ({ unit, style, plan, load }: Moving): boolean =>
  load === undefined &&
  unit.subject !== 'relay' &&
  style.polarity.forward !== 'none' &&
  !holdsRotor(plan) &&
  plan.steps.some(({ position, feed }) => position === 'forward' && feed === 'full');

/** What can be answered, in the order of the keys; first what a good unit does. */
export function wayChoices(moving: Pick<Moving, 'unit' | 'style'>): WayChoice[] {
  const declared = declaredWays(moving);
  const { unit, style } = moving;
  const isBare = !(unit.onMechanism ?? (style.subject ?? unit.subject) === 'harness-with-motor');
  const ways: WayChoice[] = declared
    ? [
        { moved: 'as-forward', words: declared.forward },
        { moved: 'as-reverse', words: declared.reverse },
      ]
    : (isBare ? (['clockwise', 'anticlockwise'] as const) : (['opened', 'closed'] as const)).map((moved) => ({
        moved,
        words: moved,
      }));
  return [...ways, { moved: 'still', words: 'did not move' }, { moved: 'unseen', words: 'not seen' }];
}

/** What was answered, in words. */
export const wayWords = (moving: Pick<Moving, 'unit' | 'style'>, { moved }: WaySeen): string =>
  wayChoices(moving).find((choice) => choice.moved === moved)?.words ?? moved;
