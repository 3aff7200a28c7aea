// After opening: waits out the reset that opening causes, then asks who is there and what it is built with.
// The board's own numbers are taken, never assumed; a rig is known by the id in its answer, never by its port.

import { PROTOCOL_VERSION, type ReplyOf } from '../../firmware-protocol/index.js';
import type { Clock } from './clock.js';
import { LinkError } from './link-error.js';
import type { RequestDesk } from './request-desk.js';

export interface BoardFacts {
  hello: ReplyOf<'hello'>;
  constants: ReplyOf<'constants'>;
  scan: string;
}

/** A boot loader takes 0.8 to 3 s before the firmware speaks (reports on common boards). */
const SETTLE_PATIENCE_S = 4;
/** How long one greeting waits; greetings repeat because a board in its boot loader swallows them. */
const GREETING_PATIENCE_S = 0.1;

export interface SettlingPort {
  desk: RequestDesk;
  clock: Clock;
  path: string;
  /** Valid lines of any kind, and all lines, seen since opening. */
  seen(): { valid: number; all: number; protocol: number | undefined };
}

export async function greet(port: SettlingPort): Promise<BoardFacts> {
  const { clock, desk, path } = port;
  const startS = clock.nowS();
  let hello: ReplyOf<'hello'> | undefined;
  while (hello === undefined) {
    try {
      hello = await desk.send({ verb: 'hello' }, { attempts: 1, patienceS: GREETING_PATIENCE_S });
    } catch (error) {
      if (!(error instanceof LinkError) || (error.code !== 'reply-timeout' && error.code !== 'refused'))
        throw error;
      const { valid, all, protocol } = port.seen();
      if (protocol !== undefined && protocol !== PROTOCOL_VERSION) throw otherVersion(path, protocol);
      const waitedS = clock.nowS() - startS;
      if (waitedS >= SETTLE_PATIENCE_S) {
        throw new LinkError(all > 0 && valid === 0 ? 'not-a-rig' : 'no-answer', { path, waitedS }, error);
      }
      // A refusal comes at once; do not spin on it.
      await clock.sleep(0.02);
    }
  }
  if (hello.protocol !== PROTOCOL_VERSION) throw otherVersion(path, hello.protocol);
  const constants = await desk.send({ verb: 'constants' });
  const { scan } = await desk.send({ verb: 'scan' });
  return { hello, constants, scan };
}

function otherVersion(path: string, protocol: number): LinkError {
  return new LinkError('protocol-version', {
    path,
    boardVersion: String(protocol),
    hostVersion: String(PROTOCOL_VERSION),
  });
}
