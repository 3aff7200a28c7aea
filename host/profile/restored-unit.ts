// A resolved unit out of an old record, made whole: what has got a default since then gets it.

import type * as z from 'zod';
import { InputError } from '../input/index.js';
import { learnedSchema } from './learned.js';
import type { ResolvedUnit } from './load.js';
import { loadSchema, motorSchema, planSchema, relaySchema, rigSchema, unitProfileSchema } from './schema.js';
import { withStandIn } from './stand-in.js';
import { circuitStyleSchema } from './style-rules.js';
import { waySeenSchema } from './way.js';

/**
 * @param where for messages: the record that it lay in.
 * @throws InputError when the profile of that day means nothing any more.
 */
export function restoredUnit(stored: ResolvedUnit, where: string): ResolvedUnit {
  const whole = <S extends z.ZodType>(schema: S, key: string, value: unknown): z.output<S> => {
    const read = schema.safeParse(value);
    if (read.success) return read.data;
    const [issue] = read.error.issues;
    const place = [key, ...(issue?.path ?? [])].join('.');
    const what = `its profile is not understood any more (${place}: ${issue?.message ?? 'wrong shape'})`;
    throw new InputError({ file: where, what, mend: "take today's with --profile P" }, { cause: read.error });
  };
  const { load, relay, learned, learnedFile, way } = stored;
  const style = whole(circuitStyleSchema, 'circuit', stored.style);
  const plan = whole(planSchema, 'plan', stored.plan);
  return {
    unit: whole(unitProfileSchema, 'unit', stored.unit),
    // Before a plan said so, whatever no person threw was thrown by the rig.
    style: plan.throwBy === 'operator' ? style : withStandIn(style),
    motor: whole(motorSchema, 'motor', stored.motor),
    ...(load === undefined ? {} : { load: whole(loadSchema, 'load', load) }),
    ...(relay === undefined ? {} : { relay: whole(relaySchema, 'relay', relay) }),
    rig: whole(rigSchema, 'rig', stored.rig),
    plan,
    ...(way === undefined ? {} : { way: whole(waySeenSchema, 'way', way) }),
    ...(learned === undefined ? {} : { learned: whole(learnedSchema, 'learned', learned) }),
    ...(learnedFile === undefined ? {} : { learnedFile }),
  };
}
