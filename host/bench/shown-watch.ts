// Whether the board's own samples show what it was told, and come as quickly as it says. A board that answers and does something
// else is the rig's: nothing of it is held against a unit.

import type { Feed, Position, SampleBlock } from '../capture/index.js';
import { amount } from '../tell/index.js';
import { RigFault } from './rig-fault.js';

/** What a board may be told. */
interface Commanded {
  position: Position;
  feed: Feed;
}

const OFF: Commanded = { position: 'rest', feed: 'off' };

/** The clocks are compared over this part of the samples at either end: of those the least delayed one tells. */
const END_S = 0.3;
const LEAST_SPAN_S = 0.7;
/**
 * A resonator is off by half a percent at most, but a busy computer reads late and seems to slow a board down; what is told here is
 * a rate that is another one altogether. Choices of this program, no source.
 */
const SLOWEST = 0.55;
const QUICKEST = 1.6;

/** Longer than samples are on their way, and within what the board still holds a throw; asked as often as a step's end. */
const LATE_S = 0.24;
const POLL_S = 0.05;
/** Samples that were on their way when the board was told do not count. Choice of this program, no source. */
const GOES_ON_S = 0.1;

interface Arrival {
  boardS: number;
  /** Host time less board time. */
  behindS: number;
}

export class ShownWatch {
  /** A rig that tells no feed of its samples is asked for none. */
  #newest: { position: Position; feed?: Feed | undefined } | undefined;
  #first: Arrival | undefined;
  #last: Arrival[] = [];
  #toldAtS = 0;

  /** A new stream begins at 0 s. */
  restart(): void {
    this.#newest = this.#first = undefined;
    this.#last = [];
    this.#toldAtS = 0;
  }

  /**
   * Waits until the samples show what the board was told just now.
   * @param pause false once the run has been stopped. @throws RigFault where they go on to show something else
   */
  async refuseUnshown(wanted: Commanded, pause: (durationS: number) => Promise<boolean>): Promise<void> {
    this.#toldAtS = this.#newestS;
    for (let leftS = LATE_S; leftS > 0; leftS -= POLL_S)
      if (this.#shows(wanted) || !(await pause(POLL_S))) return;
    // Where the line lost them all, they say nothing of what the board does.
    if (!this.#shows(wanted) && this.#newestS - this.#toldAtS > GOES_ON_S)
      throw NOT_SHOWN(wanted, this.#told);
  }

  /** @throws RigFault where nothing comes, or where something is on although all is switched off */
  refuseOn(): void {
    if (this.#newest === undefined) throw NO_SAMPLES();
    if (!this.#shows(OFF)) throw ON_THOUGH_OFF(this.#told);
  }

  get #newestS(): number {
    return this.#last.at(-1)?.boardS ?? 0;
  }

  add({ timeS, position, feed }: SampleBlock, hostS: number): void {
    const [boardS, thrown, fed] = [timeS.at(-1), position.at(-1), feed?.at(-1)];
    if (boardS === undefined || thrown === undefined) return;
    this.#newest = { position: thrown, feed: fed };
    const arrival = { boardS, behindS: hostS - boardS };
    if (boardS < END_S && !(this.#first && this.#first.behindS <= arrival.behindS)) this.#first = arrival;
    this.#last = [...this.#last.filter((one) => boardS - one.boardS < END_S), arrival];
  }

  #shows({ position, feed }: Commanded): boolean {
    return this.#newest?.position === position && (this.#newest.feed ?? feed) === feed;
  }

  /** What the newest sample shows, in words. */
  get #told(): string {
    return this.#newest ? wordsOf(this.#newest) : 'nothing';
  }

  /** Seconds of the board in one of the host; undefined before it can be told. */
  get boardRate(): number | undefined {
    const first = this.#first;
    const [earliest, ...others] = this.#last;
    if (!first || !earliest) return undefined;
    const last = others.reduce((least, one) => (one.behindS < least.behindS ? one : least), earliest);
    const spanS = last.boardS - first.boardS;
    const hostS = spanS + last.behindS - first.behindS;
    return spanS < LEAST_SPAN_S || hostS <= 0 ? undefined : spanS / hostS;
  }

  /** @throws RigFault where the board's time is not the host's */
  refuseOtherClock(): void {
    const rate = this.boardRate;
    if (rate !== undefined && (rate < SLOWEST || rate > QUICKEST)) throw OTHER_CLOCK(rate);
  }
}

const wordsOf = ({ position, feed }: { position: Position; feed?: Feed | undefined }): string =>
  [
    position === 'rest' ? 'rest' : `${position} thrown`,
    ...(feed === undefined ? [] : [feed === 'off' ? 'the feed off' : `the ${feed} feed on`]),
  ].join(', ');

const FLASH = 'flash the image that came with this program (firmware-protocol/FLASH.md)';

const NO_SAMPLES = (): RigFault =>
  new RigFault(
    'The board answers, but sends no samples that can be read.',
    `Plug the rig into the computer itself, without a hub. If that does not help, ${FLASH}.`,
    [],
  );
const ON_THOUGH_OFF = (told: string): RigFault =>
  new RigFault(
    `Everything is switched off, and the board's samples say: ${told}.`,
    `Press the stop switch. Then ${FLASH}, and look whether any output stays on (RIG.md, section 8, step 4).`,
    [],
  );
const NOT_SHOWN = (wanted: Commanded, told: string): RigFault =>
  new RigFault(
    `The board took the command for ${wordsOf(wanted)}, and its samples still say: ${told}. It does not do what it is told, or its samples come too late.`,
    `Press the stop switch. Plug the rig into the computer itself, without a hub; if that does not help, ${FLASH}.`,
    [],
  );
const OTHER_CLOCK = (rate: number): RigFault =>
  new RigFault(
    `The board's samples come ${rate > 1 ? 'faster' : 'slower'} than it says: ${amount(rate, 's', 2)} of them in one second. Every time and speed would be wrong.`,
    `Close what loads the computer and start the unit again. If it comes again, ${FLASH}, and look whether its board has a crystal of 16 MHz.`,
    [],
  );
