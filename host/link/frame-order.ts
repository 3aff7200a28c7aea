// Puts frame numbers, which wrap, on one rising index, and tells gaps and repeats. Looks at numbers only.

import { FRAME_NUMBER_SPAN } from '../../firmware-protocol/index.js';

export interface FramePlace {
  /** Frames since the stream started, lost ones counted. */
  index: number;
  /** Frames missing right before this one. */
  lost: number;
}

export class FrameOrder {
  #next = 0;

  /** The stream starts anew with frame 0. */
  restart(): void {
    this.#next = 0;
  }

  /** Undefined for a frame that was here before (a repeated chunk). */
  place(frameNumber: number): FramePlace | undefined {
    const lost = (((frameNumber - this.#next) % FRAME_NUMBER_SPAN) + FRAME_NUMBER_SPAN) % FRAME_NUMBER_SPAN;
    if (lost >= FRAME_NUMBER_SPAN / 2) return undefined;
    const index = this.#next + lost;
    this.#next = index + 1;
    return { index, lost };
  }
}
