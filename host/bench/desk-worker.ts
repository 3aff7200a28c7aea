// The thread behind the desk: computes expected behaviour once per profile, judges captures, keeps nothing else.

import { parentPort } from 'node:worker_threads';
import { boundOf, judge } from '../judge/index.js';
import type { ResolvedUnit } from '../profile/index.js';
import type { DeskReply, DeskRequest } from './desk.js';
import { type Preparation, prepareProfile } from './preparing/index.js';

/** By the whole profile: an edited file of the same name must not meet yesterday's band. */
const known = new Map<string, Preparation>();

/** In two threads only while the run waits for it; what comes after leaves a core to the rig. */
function preparationOf(unit: ResolvedUnit): Preparation {
  // What the rig reads by, has proven of itself, and which way the output went, is no part of the band: it meets the one that was prepared before.
  const { scales, proven: _, ...rig } = unit.rig;
  const { way: __, ...asRun } = unit;
  const key = JSON.stringify({ ...asRun, rig });
  const found = known.get(key) ?? prepareProfile(unit, { findings: false });
  known.set(key, found);
  return found;
}

function answer(request: DeskRequest): unknown {
  const preparation = preparationOf(request.unit);
  try {
    const expected = preparation.expectation();
    if (request.task === 'prepare') return boundOf(expected);
    const { unit, capture, stop } = request;
    return judge({ unit, capture, stop, expectation: expected, library: preparation.library });
  } finally {
    preparation.close();
  }
}

const port = parentPort;
if (!port) throw new Error('desk-worker runs as a worker thread only');
port.on('message', (request: DeskRequest) => {
  let reply: DeskReply;
  try {
    reply = { id: request.id, value: answer(request) };
  } catch (error) {
    reply = { id: request.id, error: error instanceof Error ? error : new Error(String(error)) };
  }
  port.postMessage(reply);
  // After the answer, while nobody waits: the hypotheses that a unit that does not pass will be held against.
  if (request.task === 'prepare' && 'value' in reply) {
    const preparation = preparationOf(request.unit);
    preparation.library();
    preparation.close();
  }
});
