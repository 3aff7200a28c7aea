// Whether what a person holds or turns for is over: it was there, and has been gone for so long without a break.

import { type Channel, sampledChannels } from '../capture/index.js';
import type { SampleBlock } from '../rig/index.js';

/** The newest reading of each channel. */
export type Newest = Partial<Record<Channel, number>>;

export interface Watched {
  /** Undefined where the readings do not tell. */
  look(newest: Newest): { isThere: boolean; isGone: boolean } | undefined;
  goneForS: number;
}

export class GoneWatch {
  #wasThere = false;
  #goneFromS: number | undefined;
  isOver = false;

  constructor(readonly watched: Watched) {}

  start(): void {
    this.#wasThere = this.isOver = false;
    this.#goneFromS = undefined;
  }

  add({ timeS, channels }: SampleBlock): void {
    const newest = Object.fromEntries(
      sampledChannels(channels).map(([name, values]) => [name, values.at(-1)]),
    );
    const seen = this.watched.look(newest);
    const nowS = timeS.at(-1);
    if (seen === undefined || nowS === undefined) return;
    if (seen.isThere) this.#wasThere = true;
    this.#goneFromS = this.#wasThere && seen.isGone ? (this.#goneFromS ?? nowS) : undefined;
    if (this.#goneFromS !== undefined && nowS - this.#goneFromS > this.watched.goneForS) this.isOver = true;
  }
}
