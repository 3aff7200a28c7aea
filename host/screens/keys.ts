// What a key means. Space, Esc and Ctrl-C mean outputs off in every state, before anything else is looked at.

export type KeyAction =
  | 'outputs-off'
  | 'leave'
  | 'quit'
  | 'go-on'
  | 'yes'
  | 'no'
  | 'hold'
  | 'up'
  | 'down'
  | 'page-up'
  | 'page-down';

/** The part of ink's key that matters here. */
export interface KeyPress {
  escape?: boolean;
  return?: boolean;
  ctrl?: boolean;
  upArrow?: boolean;
  downArrow?: boolean;
  pageUp?: boolean;
  pageDown?: boolean;
}

/** `leave` is Ctrl-C: outputs off, then leave. A held key arrives as several characters at once. */
export function keyAction(input: string, key: KeyPress): KeyAction {
  if ((key.ctrl && input === 'c') || input.includes('\u0003')) return 'leave';
  if (key.escape || input.includes(' ')) return 'outputs-off';
  if (key.return || input.includes('\r')) return 'go-on';
  if (key.upArrow) return 'up';
  if (key.downArrow) return 'down';
  if (key.pageUp) return 'page-up';
  if (key.pageDown) return 'page-down';
  if (input === 'y' || input === 'Y') return 'yes';
  if (input === 'n' || input === 'N') return 'no';
  return input === 'q' || input === 'Q' ? 'quit' : 'hold';
}
