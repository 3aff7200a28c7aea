// Walks a hash chain link by link, wherever it is kept: what does not follow, what is gone, what was changed.

import { isAnchorOf } from './anchor.js';
import type { About, ChainFault } from './chain-link.js';

/** Stands before the first record. */
export const GENESIS = '0'.repeat(64);

/** Where the record of an anchor stands. */
export interface ExpectedLink extends About {
  /** How many came after it. */
  later: number;
}

export interface WalkedLink {
  place: number;
  previousHash: string;
  hash: string;
  /** The hash worked out again from what is kept; undefined where that is gone. */
  computed: string | undefined;
  of: About;
  what: string;
  written: string;
}

export class ChainWalk {
  readonly faults: ChainFault[] = [];
  /** Of the newest record so far. */
  lastHash: string | undefined;
  #place = 0;
  #links = 0;
  #expected: (About & { at: number }) | undefined;

  /** @param expect the beginning of a hash that should be in the chain */
  constructor(private readonly expect?: string) {}

  take({ place, previousHash, hash, computed, of, what, written }: WalkedLink): void {
    this.#links += 1;
    this.#place += 1;
    if (place !== this.#place) {
      this.faults.push({ ...of, sentence: `record ${this.#place} of the chain is missing before it` });
      this.#place = place;
    } else if (previousHash !== (this.lastHash ?? GENESIS)) {
      this.faults.push({ ...of, sentence: 'it does not follow the record before it' });
    }
    if (computed === undefined) this.faults.push({ ...of, sentence: `${what} is gone` });
    else if (computed !== hash)
      this.faults.push({ ...of, sentence: `${what} was changed after it was ${written}` });
    else if (this.expect !== undefined && isAnchorOf(this.expect, computed))
      this.#expected = { ...of, at: this.#links };
    this.lastHash = hash;
  }

  /** Of the anchor that was asked for; undefined where no record has it. */
  get expected(): ExpectedLink | undefined {
    if (this.#expected === undefined) return undefined;
    const { at, ...of } = this.#expected;
    return { ...of, later: this.#links - at };
  }
}
