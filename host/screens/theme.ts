// Words, symbols and colours in one place. Every state is told by a word and a symbol; colour only repeats it.

import type { Outcome, Verdict } from '../judge/index.js';

import type { Dots } from './dots.js';

/** `under` is an earlier run behind the trace. */
export type Tone = 'good' | 'bad' | 'doubt' | 'trace' | 'under' | 'quiet' | 'plain';

export interface Theme {
  unicode: boolean;
  colour: boolean;
  /** What traces are drawn with; half blocks where it does not say. */
  dots?: Dots;
  /** Without it the sixteen colours that every terminal has, as its owner set them. */
  isMany?: boolean;
  /** The terminal's ground is light. */
  isLight?: boolean;
}

type Env = Record<string, string | undefined>;

/**
 * UTF-8 by the locale (POSIX order: LC_ALL, LC_CTYPE, LANG); THROWBENCH_ASCII=1 and NO_COLOR win. Braille in every
 * terminal of that kind but the Linux console, whose font of 512 signs has none; THROWBENCH_DRAW=blocks goes without.
 */
export function themeFor(env: Env, platform: string = process.platform): Theme {
  const locale = env.LC_ALL || env.LC_CTYPE || env.LANG || '';
  const utf8 = platform === 'win32' ? env.WT_SESSION !== undefined : /utf-?8/i.test(locale);
  const unicode = utf8 && env.THROWBENCH_ASCII !== '1';
  const isBraille = unicode && env.TERM !== 'linux' && env.THROWBENCH_DRAW !== 'blocks';
  const isMany = /256color|direct/.test(env.TERM ?? '') || /truecolor|24bit/.test(env.COLORTERM ?? '');
  return {
    unicode,
    colour: !env.NO_COLOR,
    dots: isBraille ? 'braille' : unicode ? 'blocks' : 'ascii',
    isMany,
    isLight: isLightGround(env.COLORFGBG),
  };
}

/** `15;0` or `0;default;15`: foreground first, ground last, in the numbers of the sixteen colours; 7 and 15 are white. */
const isLightGround = (colours: string | undefined): boolean => /;(7|15)$/.test(colours ?? '');

/**
 * Okabe and Ito's colours (Color Universal Design, 2008), told apart with each kind of colour blindness; the yellow and
 * the sky blue are too pale for a light ground and have a darker neighbour there.
 */
const MANY: Record<'dark' | 'light', Partial<Record<Tone, string>>> = {
  dark: { good: '#009E73', bad: '#D55E00', doubt: '#E69F00', trace: '#56B4E9', under: '#CC79A7' },
  light: { good: '#007A59', bad: '#B84A00', doubt: '#9C6A00', trace: '#0072B2', under: '#A65385' },
};
const SIXTEEN: Partial<Record<Tone, string>> = {
  good: 'green',
  bad: 'red',
  doubt: 'yellow',
  trace: 'cyan',
  under: 'magenta',
};

/** Colour of a tone for ink's Text, or nothing. */
export function colourOf(theme: Theme, tone: Tone): { color?: string; dimColor?: boolean } {
  if (tone === 'plain' || !theme.colour) return {};
  if (tone === 'quiet') return { dimColor: true };
  const color = theme.isMany ? MANY[theme.isLight ? 'light' : 'dark'][tone] : SIXTEEN[tone];
  return color === undefined ? {} : { color };
}

/** A whole line in a tone, to be read from across the bench; reversed where there is no colour. */
export function bandOf(
  theme: Theme,
  tone: Tone,
): { backgroundColor?: string; color?: string; inverse?: boolean } {
  if (tone === 'plain' || tone === 'quiet') return {};
  if (!theme.colour) return { inverse: true };
  const backgroundColor = theme.isMany ? MANY.dark[tone] : SIXTEEN[tone];
  // White on the red of the sixteen, black on all others, whatever the ground.
  const color = theme.isMany ? '#000000' : tone === 'bad' ? 'whiteBright' : 'black';
  return backgroundColor === undefined ? {} : { backgroundColor, color };
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
