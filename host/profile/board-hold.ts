// How long the board holds a throw at all.

import { BOARD } from '../../firmware-protocol/index.js';

/** Longest hold of a throw that the board allows. */
export const BOARD_LONGEST_S = BOARD.holdCeilingMs / 1000;
/** What the board's own longest hold needs beyond the step. */
export const BOARD_MARGIN_S = 0.3;
