// After opening: waits out the reset that opening causes, then asks who is there and what it is built with.
// The board's own numbers are taken, never assumed; a rig is known by the id in its answer, never by its port.

import { BOARD, PROTOCOL_VERSION, type ReplyOf } from '../../firmware-protocol/index.js';
import type { Clock } from './clock.js';
import { BEAT_S } from './heartbeat.js';
import { LinkError } from './link-error.js';
import { otherProtocol, type RequestDesk } from './request-desk.js';

export interface BoardFacts {
  hello: ReplyOf<'hello'>;
  constants: ReplyOf<'constants'>;
  scan: string;
}

/** A boot loader takes 0.8 to 3 s before the firmware speaks (reports on common boards). */
const SETTLE_PATIENCE_S = 4;
/** How long one greeting waits; greetings repeat because a board in its boot loader swallows them. */
const GREETING_PATIENCE_S = 0.1;
/** The answer came, and could not be read. */
const UNREAD: readonly string[] = ['answer-unread', 'protocol-version'];
/** What may pass while a board starts; an answer of an earlier session is one that cannot be read. */
const PERHAPS_BOOTING: readonly string[] = ['reply-timeout', 'refused', ...UNREAD];
/** Answers that nobody waited for any more; one or two may be of an earlier session. */
const LATE_FOR_SURE = 5;

export interface SettlingPort {
  desk: RequestDesk;
  clock: Clock;
  path: string;
  /** Since opening: valid lines of any kind, all lines, answers that came when nobody waited for them any more. */
  seen(): { valid: number; all: number; late: number; protocol: number | undefined };
}

export async function greet(port: SettlingPort): Promise<BoardFacts> {
  const { clock, desk, path } = port;
  const startS = clock.nowS();
  let hello: ReplyOf<'hello'> | undefined;
  while (hello === undefined) {
    try {
      hello = await desk.send({ verb: 'hello' }, { attempts: 1, patienceS: GREETING_PATIENCE_S });
    } catch (error) {
      if (!(error instanceof LinkError) || !PERHAPS_BOOTING.includes(error.code)) throw error;
      const { valid, all, late, protocol } = port.seen();
      if (protocol !== undefined && protocol !== PROTOCOL_VERSION) throw otherProtocol(path, protocol);
      const waitedS = clock.nowS() - startS;
      if (waitedS >= SETTLE_PATIENCE_S) {
        if (UNREAD.includes(error.code)) throw error;
        if (late >= LATE_FOR_SURE)
          throw new LinkError('answers-late', { path, waitedS: GREETING_PATIENCE_S }, error);
        throw new LinkError(all > 0 && valid === 0 ? 'not-a-rig' : 'no-answer', { path, waitedS }, error);
      }
      // A refusal comes at once; do not spin on it.
      await clock.sleep(0.02);
    }
  }
  if (hello.protocol !== PROTOCOL_VERSION) throw otherProtocol(path, hello.protocol);
  const constants = await desk.send({ verb: 'constants' });
  const unfit = unfitFor(constants);
  if (unfit !== undefined) throw new LinkError('board-unfit', { path, said: unfit });
  const { scan } = await desk.send({ verb: 'scan' });
  return { hello, constants, scan };
}

/** What a board is built with that this program cannot work with; undefined when it can. */
function unfitFor({ slotCount, adcBits, frameUs, silenceMs }: ReplyOf<'constants'>): string | undefined {
  // A frame has room for so many samples of so many bits: other numbers would put samples under a wrong name.
  if (slotCount !== BOARD.slotCount) return `it tells ${slotCount} samples a frame, not ${BOARD.slotCount}`;
  if (adcBits !== BOARD.adcBits) return `it tells ${adcBits} bits a sample, not ${BOARD.adcBits}`;
  // Board time is counted in frames: of another length every current would be read at a wrong instant and
  // every channel at another rate than the checks were made for.
  if (frameUs !== BOARD.frameUs) return `it tells ${frameUs} µs a frame, not ${BOARD.frameUs}`;
  if (silenceMs < 2 * BEAT_S * 1000)
    return `it stops when it hears nothing for ${silenceMs} ms, sooner than this program speaks`;
  return undefined;
}
