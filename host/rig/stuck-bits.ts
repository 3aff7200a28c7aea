// Bits of a channel's counts that never change although its readings run past where they must: a converter or a board at fault,
// and no current or voltage. Looked for in the counts themselves, before anything is drawn between them.

import { BOARD } from '../../firmware-protocol/index.js';
import { type Channel, channelOfLetter } from '../capture/index.js';

export interface StuckBit {
  channel: Channel;
  /** 0 is the least. */
  bit: number;
  isSet: boolean;
}

const ALL_BITS = 2 ** BOARD.adcBits - 1;
/** A bit that is free stays the same by chance in one of two stretches of readings; so many are no chance. Choice of this program, no source. */
const LEAST_STRETCHES = 12;
/** Of what the stuck bit is worth: a reading that runs past it jumps by hardly more from one sample to the next. Choice of this program, no source. */
const JUMP_SLACK = 0.25;
/** Places at which the readings jumped so: a circuit that switches may jump by as much at one or two. Choice of this program, no source. */
const LEAST_JUMPS = 3;
/** Of a bit that is worth so much, a jump with hardly any change before it and behind it needs no third place. Choice of this program, no source. */
const LEAST_WORTH = 16;
const LEAST_LONE_JUMPS = 2;
/** From so much on a load that comes or goes may jump by it; counts by which readings move at least, clear of noise. Choices of this program, no source. */
const LEAST_SWITCHED_WORTH = 64;
const LEAST_SLOPE = 2;

/** Counts of one input. */
class InputCounts {
  readonly #seen = new Uint8Array(ALL_BITS + 1);
  #everSet = 0;
  #everClear = 0;
  #last: number | undefined;
  #lastChange = Number.NaN;
  /** Bits that the newest change jumped past, calm before it. */
  #mayBeLone: number[] = [];
  readonly #loneJumps = new Array<number>(BOARD.adcBits).fill(0);
  /** By bit, the upper stretch of each jump past it. */
  readonly #jumps = Array.from({ length: BOARD.adcBits }, () => new Set<number>());

  add(count: number): void {
    const last = this.#last;
    this.#last = count;
    if (last === undefined) {
      this.#see(count);
      return;
    }
    const change = count - last;
    for (const bit of this.#mayBeLone)
      if (Math.abs(change) <= JUMP_SLACK * 2 ** bit) this.#loneJumps[bit] = (this.#loneJumps[bit] ?? 0) + 1;
    if (this.#mayBeLone.length > 0) this.#mayBeLone = [];
    if (change !== 0) {
      this.#see(count);
      this.#noteJump(last, count);
    }
    this.#lastChange = change;
  }

  #see(count: number): void {
    this.#seen[count] = 1;
    this.#everSet |= count;
    this.#everClear |= ~count & ALL_BITS;
  }

  #noteJump(from: number, to: number): void {
    const free = this.#everSet & this.#everClear;
    if (free === ALL_BITS) return;
    for (let bit = 0; bit < BOARD.adcBits; bit++) {
      if (((free >> bit) & 1) === 1) continue;
      const upper = Math.max(from, to) >> (bit + 1);
      if (upper !== (Math.min(from, to) >> (bit + 1)) + 1) continue;
      const worth = 2 ** bit;
      if (Math.abs(to - from) > worth + 1 + Math.max(1, JUMP_SLACK * worth)) continue;
      this.#jumps[bit]?.add(upper);
      if (worth >= LEAST_WORTH && this.#goesOn(to - from, worth)) this.#mayBeLone.push(bit);
    }
  }

  /** Whether a jump is what the readings did before it, and the bit. A circuit that switches jumps from standstill. */
  #goesOn(jump: number, worth: number): boolean {
    const before = this.#lastChange;
    if (!(Math.abs(before) <= JUMP_SLACK * worth)) return false;
    if (worth < LEAST_SWITCHED_WORTH) return true;
    const isSameWay = Math.sign(before) === Math.sign(jump) && Math.abs(before) >= LEAST_SLOPE;
    return isSameWay && Math.abs(jump) - worth <= 2 * Math.abs(before) + LEAST_SLOPE;
  }

  stuck(): { bit: number; isSet: boolean }[] {
    const found: { bit: number; isSet: boolean }[] = [];
    for (let bit = 0; bit < BOARD.adcBits; bit++) {
      const [isSet, isClear] = [(this.#everSet >> bit) & 1, (this.#everClear >> bit) & 1];
      if (isSet === isClear) continue;
      const isShown =
        this.#stretches(bit) >= LEAST_STRETCHES ||
        (this.#jumps[bit]?.size ?? 0) >= LEAST_JUMPS ||
        (this.#loneJumps[bit] ?? 0) >= LEAST_LONE_JUMPS;
      if (!isShown) continue;
      found.push({ bit, isSet: isSet === 1 });
    }
    return found;
  }

  /** Stretches of counts that differ in higher bits only, of those that were read. */
  #stretches(bit: number): number {
    const stretches = new Set<number>();
    for (let count = 0; count <= ALL_BITS; count++)
      if (this.#seen[count] === 1) stretches.add(count >> (bit + 1));
    return stretches.size;
  }
}

export class CountWatch {
  readonly #inputs = new Map<string, InputCounts>();

  /** `counts` of one frame, a letter of `scan` each. */
  add(scan: string, counts: ArrayLike<number>): void {
    for (let slot = 0; slot < scan.length; slot++) {
      const letter = scan.charAt(slot);
      let input = this.#inputs.get(letter);
      if (!input) {
        input = new InputCounts();
        this.#inputs.set(letter, input);
      }
      input.add(counts[slot] ?? 0);
    }
  }

  /** Empty where every bit of every input was seen to change, or nothing ran past it. */
  stuck(): StuckBit[] {
    return [...this.#inputs].flatMap(([letter, input]) =>
      input.stuck().map((stuck) => ({ channel: channelOfLetter(letter), ...stuck })),
    );
  }
}
