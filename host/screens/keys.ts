// What a key means. Space, Esc and Ctrl-C mean outputs off in every state, before anything else is looked at; only where
// text is typed, which is with outputs off, a space is a space.

import type { Key } from 'ink';

export type KeyAction =
  | 'outputs-off'
  | 'leave'
  | 'quit'
  | 'go-on'
  | 'again'
  | 'skip'
  | 'checks'
  | 'undo'
  | 'other-profile'
  | 'accept'
  | 'rework'
  | 'reject'
  | 'set-aside'
  | 'yes'
  | 'no'
  | 'hold'
  | 'up'
  | 'down'
  | 'page-up'
  | 'page-down'
  | 'left'
  | 'right'
  | 'traces'
  | 'zoom-in'
  | 'zoom-out'
  | 'overlay'
  | 'rooms'
  | 'first'
  | 'second'
  | 'third'
  | 'fourth';

/** What ink tells of a key beside its character. */
export type KeyPress = Partial<Key>;

/** Letters and signs where no text is typed; small and capital alike. */
const LETTERS: Readonly<Record<string, KeyAction>> = {
  q: 'quit',
  y: 'yes',
  n: 'no',
  r: 'again',
  s: 'skip',
  c: 'checks',
  u: 'undo',
  a: 'accept',
  w: 'rework',
  x: 'reject',
  h: 'set-aside',
  p: 'other-profile',
  t: 'traces',
  o: 'overlay',
  '1': 'first',
  '2': 'second',
  '3': 'third',
  '4': 'fourth',
  '+': 'zoom-in',
  '=': 'zoom-in',
  '-': 'zoom-out',
};

/** Ctrl-C; a held key arrives as several characters at once. */
export const isCtrlC = (input: string, key: KeyPress): boolean =>
  (key.ctrl === true && input === 'c') || input.includes('\u0003');

/** `leave` is Ctrl-C: outputs off, then leave. */
export function keyAction(input: string, key: KeyPress): KeyAction {
  if (isCtrlC(input, key)) return 'leave';
  if (key.escape || input.includes(' ')) return 'outputs-off';
  if (key.return || input.includes('\r')) return 'go-on';
  if (key.tab) return 'rooms';
  if (key.upArrow) return 'up';
  if (key.downArrow) return 'down';
  if (key.leftArrow) return 'left';
  if (key.rightArrow) return 'right';
  if (key.pageUp) return 'page-up';
  if (key.pageDown) return 'page-down';
  return LETTERS[input.toLowerCase()] ?? 'hold';
}
