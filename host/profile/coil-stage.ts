// What a rig asks of the relay coils before a plan: each throw once, the coils fed through their limiter. A shorted coil feed
// shows at a third of an ampere, and the straight feed never meets it.

import type { CircuitStyle } from './circuit-style.js';
import type { ResolvedUnit } from './load.js';
import type { Plan } from './schema.js';

/** Levels come from the end: coils have settled (L/R of a few milliseconds), and a dozen samples of them are there. */
const REST_S = 0.1;
const THROWN_S = 0.08;

type Way = 'forward' | 'reverse';
const WAYS: readonly Way[] = ['forward', 'reverse'];

/** Its title stands in no record: a run that it ends keeps its own plan. */
const planOf = (steps: Plan['steps']): Plan => ({
  id: 'coil-stage',
  title: 'Relay coils through their limiter',
  kind: 'plan',
  steps,
});

/** Whether the rig feeds coils in it: relays that the rig's triggers throw, or that the harness's own switch does. */
const hasCoils = (style: CircuitStyle): boolean =>
  style.thrownBy === 'trigger' && style.elements.some(({ kind }) => kind === 'relay');

/**
 * The stage of a unit; undefined where no coil hangs on the rig or the rig has no limiter. A relay by itself has a test
 * current of its own. Where a person throws, the person is asked for these throws too.
 * @param made the throws that were made of it, where it ended before its end
 */
export function coilStage({ style, rig, unit }: ResolvedUnit, made: readonly Way[] = WAYS): Plan | undefined {
  if (rig.limitedCoilFeedOhm === undefined || unit.subject === 'relay' || !hasCoils(style)) return undefined;
  const rest = { position: 'rest', feed: 'limited', durationS: REST_S } as const;
  const ways = made.filter((way) => style.polarity[way] !== 'none');
  return planOf([
    rest,
    ...ways.flatMap((position) => [{ position, feed: 'limited', durationS: THROWN_S } as const, rest]),
  ]);
}

/** The unit as its coils are asked; the same unit where nothing is asked of them. */
export function atCoilStage(unit: ResolvedUnit, made?: readonly Way[]): ResolvedUnit {
  const plan = coilStage(unit, made);
  return plan === undefined ? unit : { ...unit, plan, coilFeed: 'limited' };
}
