// Up, down and by pages in anything that has rows.

import type { KeyAction } from './keys.js';

const BY: Partial<Record<KeyAction, number>> = { up: -1, down: 1, 'page-up': -10, 'page-down': 10 };

/** Whether the key moves at all. */
export const movesRows = (action: KeyAction): boolean => BY[action] !== undefined;

/** From one row to the next by a key, no further than the ends: 0 and `most`. */
export const moved = (from: number, action: KeyAction, most: number): number =>
  Math.min(most, Math.max(0, from + (BY[action] ?? 0)));
