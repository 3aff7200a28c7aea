// Words, symbols and colours in one place. Every state is told by a word and a symbol; colour only repeats it.

import type { Outcome, Verdict } from '../judge/index.js';

export type Tone = 'good' | 'bad' | 'doubt' | 'trace' | 'quiet' | 'plain';

export interface Theme {
  unicode: boolean;
  colour: boolean;
}

type Env = Record<string, string | undefined>;

/** UTF-8 by the locale (POSIX order: LC_ALL, LC_CTYPE, LANG); THROWBENCH_ASCII=1 and NO_COLOR win. */
export function themeFor(env: Env, platform: string = process.platform): Theme {
  const locale = env.LC_ALL || env.LC_CTYPE || env.LANG || '';
  const utf8 = platform === 'win32' ? env.WT_SESSION !== undefined : /utf-?8/i.test(locale);
  return { unicode: utf8 && env.THROWBENCH_ASCII !== '1', colour: !env.NO_COLOR };
}

/** Colour of a tone for ink's Text, or nothing. */
export function colourOf(theme: Theme, tone: Tone): { color?: string; dimColor?: boolean } {
  if (tone === 'plain' || !theme.colour) return {};
  if (tone === 'quiet') return { dimColor: true };
  return { color: { good: 'green', bad: 'red', doubt: 'yellow', trace: 'cyan' }[tone] };
}

export const VERDICT_TONES: Record<Verdict, Tone> = { pass: 'good', fail: 'bad', 'cannot-tell': 'doubt' };

export const OUTCOME_TONES: Record<Outcome, Tone> = {
  pass: 'good',
  'conditional-pass': 'good',
  'conditional-fail': 'doubt',
  fail: 'bad',
  'not-tested': 'quiet',
};

export function verdictSymbol(theme: Theme, verdict: Verdict): string {
  if (verdict === 'pass') return theme.unicode ? '✓' : '+';
  if (verdict === 'fail') return theme.unicode ? '✗' : 'x';
  return '?';
}

export function outcomeSymbol(theme: Theme, outcome: Outcome): string {
  if (outcome === 'pass' || outcome === 'conditional-pass') return verdictSymbol(theme, 'pass');
  if (outcome === 'fail') return verdictSymbol(theme, 'fail');
  return outcome === 'conditional-fail' ? '?' : '-';
}

const ASCII_FOR: Record<string, string> = {
  Ω: 'Ohm',
  µ: 'u',
  μ: 'u',
  '°': ' deg ',
  '±': '+/-',
  '·': ';',
  '–': '-',
  '—': '-',
  '−': '-',
  '’': "'",
  '‘': "'",
  '“': '"',
  '”': '"',
  '…': '...',
  '×': 'x',
  '≤': '<=',
  '≥': '>=',
  '²': '2',
};

/** One printable line: control characters (a tag or a sentence might carry an escape code) fall out. */
export function printable(theme: Theme, text: string): string {
  const line = text.replace(/[\t\r\n]+/g, ' ').replace(/\p{Cc}/gu, '');
  if (theme.unicode) return line;
  return line
    .replace(/[^\x20-\x7e]/gu, (sign) => ASCII_FOR[sign] ?? sign.normalize('NFKD'))
    .replace(/\p{M}/gu, '')
    .replace(/[^\x20-\x7e]/gu, '?');
}
