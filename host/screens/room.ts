// Rooms beside the bench, entered while outputs are off: lists to search and pages to read, one opened from the other.
// What stands in them is handed in; here is only what keys do there.

import { wrapWords } from '../tell/index.js';
import type { KeyAction } from './keys.js';

export type RoomContent = { title: string } & (
  | { rows: readonly RoomRow[] }
  | {
      lines: readonly string[];
      /** What Enter opens from here. */
      more?: RoomRow;
    }
);

export interface RoomRow {
  text: string;
  open(): RoomContent | Promise<RoomContent>;
}

/** One that is open; of several the last is seen, the others are what it was opened from. */
export interface RoomView {
  content: RoomContent;
  /** Searched for in a list. */
  typed: string;
  chosen: number;
  /** First line of a page that is seen. */
  scroll: number;
  /** What was asked for is being fetched. */
  isBusy?: boolean;
}

/** A search is no longer than this. */
export const LONGEST_SEARCH = 40;
const A_PAGE = 10;

export const entered = (content: RoomContent): RoomView => ({ content, typed: '', chosen: 0, scroll: 0 });

/** Those of a list that hold every word that was typed, in any case. */
export function foundRows({ content, typed }: RoomView): readonly RoomRow[] {
  if (!('rows' in content)) return [];
  const words = typed
    .toLowerCase()
    .split(/\s+/)
    .filter((word) => word !== '');
  if (words.length === 0) return content.rows;
  return content.rows.filter(({ text }) => {
    const lower = text.toLowerCase();
    return words.every((word) => lower.includes(word));
  });
}

/** Lines of a page as wide as the window; what does not fit goes on under its own beginning. */
export const pageLines = (lines: readonly string[], columns: number): string[] =>
  lines.flatMap((line) => {
    const indent = /^ */.exec(line)?.[0] ?? '';
    if (line.length <= columns) return [line];
    return wrapWords(line.trimStart(), Math.max(20, columns - indent.length)).map((part) => indent + part);
  });

/** Moved by a key; the room itself where the key moves nothing. */
export function movedIn(room: RoomView, action: KeyAction): RoomView {
  const by = { up: -1, down: 1, 'page-up': -A_PAGE, 'page-down': A_PAGE }[action as string];
  if (by === undefined) return room;
  const within = (at: number, count: number): number =>
    Math.min(Math.max(0, count - 1), Math.max(0, at + by));
  const { content } = room;
  return 'rows' in content
    ? { ...room, chosen: within(room.chosen, foundRows(room).length) }
    : { ...room, scroll: within(room.scroll, content.lines.length) };
}
