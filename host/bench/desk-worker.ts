// The thread behind the desk: computes expected behaviour once per profile, judges captures, keeps nothing else.

import { parentPort } from 'node:worker_threads';
import { boundOf, type Expectation, judge, prepareFindings } from '../judge/index.js';
import type { ResolvedUnit } from '../profile/index.js';
import type { DeskReply, DeskRequest } from './desk.js';
import { prepareProfile } from './preparing/index.js';

const known = new Map<string, Expectation>();

function expectationOf(unit: ResolvedUnit): Expectation {
  // The whole profile is the key: an edited file of the same name must not meet yesterday's band. What the rig reads by
  // is no part of the band: a calibrated rig meets the one that was prepared before it was opened.
  const { scales, ...rig } = unit.rig;
  const key = JSON.stringify({ ...unit, rig });
  let expected = known.get(key);
  if (!expected) {
    expected = expectedOf(unit);
    known.set(key, expected);
  }
  return expected;
}

/** In two threads only while the run waits for it; what comes after leaves a core to the rig. */
function expectedOf(unit: ResolvedUnit): Expectation {
  const { expectation, close } = prepareProfile(unit, { findings: false });
  try {
    return expectation();
  } finally {
    close();
  }
}

function answer(request: DeskRequest): unknown {
  const expected = expectationOf(request.unit);
  if (request.task === 'prepare') return boundOf(expected);
  return judge({ unit: request.unit, capture: request.capture, expectation: expected, stop: request.stop });
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
  if (request.task === 'prepare' && 'value' in reply)
    prepareFindings(request.unit, expectationOf(request.unit));
});
