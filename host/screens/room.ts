// Rooms beside the bench, entered while outputs are off: lists to search, pages to read, talks; one opened from the other.
// What stands in them is handed in; here is only what keys do there.

import { wrapWords } from '../tell/index.js';
import type { KeyAction } from './keys.js';
import { moved, movesRows } from './moved.js';
import type { TalkTerminal, TalkView } from './talk.js';

/** A list to choose from. */
export interface ListContent {
  title: string;
  rows: readonly RoomRow[];
}

/** A page to read. */
export interface PageContent {
  title: string;
  lines: readonly string[];
  /** What Enter opens from here. */
  more?: RoomRow;
  /** What another key opens, by its letter in words. */
  also?: RoomRow & { key: KeyAction; letter: string };
}

/** Questions and answers in lines. */
export interface TalkContent {
  title: string;
  /** Begun when the room is entered; resolves when everything that it opened is closed again. */
  talk(terminal: TalkTerminal): Promise<void>;
}

export type RoomContent = ListContent | PageContent | TalkContent;

export interface RoomRow {
  text: string;
  open(): RoomContent | Promise<RoomContent>;
}

/** One that is open; of several the last is seen, the others are what it was opened from. */
export interface RoomView {
  content: RoomContent;
  /** Searched for in a list; typed as an answer. */
  typed: string;
  chosen: number;
  /** First line of a page that is seen; of a talk, lines below the last one that is seen. */
  scroll: number;
  /** Where the room is a talk. */
  talk?: TalkView;
  /** What was asked for is being fetched. */
  isBusy?: boolean;
}

/** A search is no longer than this. */
export const LONGEST_SEARCH = 40;
/** Nor an answer in a talk; what is too long for a question is refused there. */
export const LONGEST_ANSWER = 400;

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
  if (!movesRows(action)) return room;
  const within = (at: number, count: number): number => moved(at, action, Math.max(0, count - 1));
  const { content, talk } = room;
  if ('rows' in content) return { ...room, chosen: within(room.chosen, foundRows(room).length) };
  if ('lines' in content) return { ...room, scroll: within(room.scroll, content.lines.length) };
  // The newest line stands last: up is back.
  const count = talk?.lines.length ?? 0;
  return { ...room, scroll: count - 1 - moved(count - 1 - room.scroll, action, Math.max(0, count - 1)) };
}
