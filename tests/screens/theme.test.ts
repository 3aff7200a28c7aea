import { describe, expect, it } from 'vitest';
import { bandOf, colourOf, printable, reading, themeFor, wrapWords } from '../../host/screens/index.js';

describe('theme from the environment', () => {
  it.each([
    [{ LANG: 'de_DE.UTF-8' }, true],
    [{ LANG: 'C.utf8' }, true],
    [{ LANG: 'C' }, false],
    [{}, false],
    [{ LANG: 'en_GB.UTF-8', LC_ALL: 'C' }, false],
    [{ LANG: 'C', LC_CTYPE: 'C.UTF-8' }, true],
    [{ LANG: 'C.UTF-8', THROWBENCH_ASCII: '1' }, false],
  ])('draws with Unicode for %j: %s', (env, unicode) => {
    expect(themeFor(env, 'linux').unicode).toBe(unicode);
  });

  // https://no-color.org: set and not empty.
  it.each([
    [{ NO_COLOR: '1' }, false],
    [{ NO_COLOR: '' }, true],
    [{}, true],
  ])('colours for %j: %s', (env, colour) => {
    expect(themeFor(env, 'linux').colour).toBe(colour);
    expect(colourOf(themeFor(env, 'linux'), 'bad')).toEqual(colour ? { color: 'red' } : {});
  });
});

describe('what a terminal can show', () => {
  it.each([
    [{ LANG: 'C.UTF-8', TERM: 'xterm' }, 'braille'],
    [{ LANG: 'C.UTF-8', TERM: 'linux' }, 'blocks'],
    [{ LANG: 'C.UTF-8', THROWBENCH_DRAW: 'blocks' }, 'blocks'],
    [{ LANG: 'C' }, 'ascii'],
  ])('of %j is drawn with %s', (env, dots) => {
    expect(themeFor(env, 'linux').dots).toBe(dots);
  });

  const TONES = ['good', 'bad', 'doubt', 'trace', 'under'] as const;

  it('has its own colours where the terminal has many, darker ones on a light ground', () => {
    const dark = themeFor({ TERM: 'xterm-256color', COLORFGBG: '15;0' }, 'linux');
    const light = themeFor({ TERM: 'xterm', COLORTERM: 'truecolor', COLORFGBG: '0;default;15' }, 'linux');
    for (const tone of TONES) {
      const [onDark, onLight] = [colourOf(dark, tone).color!, colourOf(light, tone).color!];
      // WCAG 2.2, 1.4.11: 3 to 1 against the ground.
      expect(contrast(onDark, '#000000'), `${tone} on black`).toBeGreaterThan(3);
      expect(contrast(onLight, '#ffffff'), `${tone} on white`).toBeGreaterThan(3);
      // WCAG 2.2, 1.4.3: 4.5 to 1 for words in a band.
      const { backgroundColor, color } = bandOf(dark, tone);
      expect(contrast(color!, backgroundColor!), `words in the band of ${tone}`).toBeGreaterThan(4.5);
    }
    expect(new Set(TONES.map((tone) => colourOf(dark, tone).color)).size).toBe(TONES.length);
  });

  it('reverses a band where there is no colour', () => {
    expect(bandOf({ unicode: true, colour: false }, 'bad')).toEqual({ inverse: true });
    expect(bandOf({ unicode: true, colour: true }, 'bad').backgroundColor).toBe('red');
    expect(bandOf({ unicode: true, colour: true }, 'plain')).toEqual({});
  });
});

/** WCAG 2.2: contrast ratio of two colours by their relative luminance. */
function contrast(a: string, b: string): number {
  const luminance = (hex: string): number => {
    const [r = 0, g = 0, blue = 0] = [1, 3, 5]
      .map((at) => Number.parseInt(hex.slice(at, at + 2), 16) / 255)
      .map((part) => (part <= 0.04045 ? part / 12.92 : ((part + 0.055) / 1.055) ** 2.4));
    return 0.2126 * r + 0.7152 * g + 0.0722 * blue;
  };
  const [high = 0, low = 0] = [luminance(a), luminance(b)].sort((x, y) => y - x);
  return (high + 0.05) / (low + 0.05);
}

describe('printable text', () => {
  it('spells signs out in ASCII and drops what has no spelling', () => {
    const ascii = { unicode: false, colour: false };
    expect(printable(ascii, '1.5 ± 0.1 Ω at 22 °C – rig’s café ▶')).toBe(
      "1.5 +/- 0.1 Ohm at 22  deg C - rig's cafe ?",
    );
  });

  it('keeps Unicode, makes one line, and drops control characters', () => {
    const unicode = { unicode: true, colour: false };
    expect(printable(unicode, 'a\nb\u001b[31m\u0007 Ω')).toBe('a b[31m Ω');
  });
});

describe('readings', () => {
  it.each([
    ['motorCurrentA', 3.14, '+3.1 A'],
    ['motorCurrentA', -0.04, '0.0 A'],
    ['motorCurrentA', -12.36, '-12.4 A'],
    ['coilCurrentA', 0.153, '0.15 A'],
    ['supplyVoltageV', 12.61, '12.6 V'],
    ['leadBVoltageV', undefined, 'not seen'],
  ] as const)('tells %s of %s as %s', (channel, value, text) => {
    expect(reading(channel, value).trim()).toBe(text);
  });
});

describe('wrapping', () => {
  it.each([
    ['a bc def', 4, ['a bc', 'def']],
    ['abcdefgh ij', 3, ['abc', 'def', 'gh', 'ij']],
    ['', 5, ['']],
    ['whole', 5, ['whole']],
    ['x'.repeat(300), Number.POSITIVE_INFINITY, ['x'.repeat(300)]],
  ])('breaks %j at %d columns', (text, columns, lines) => {
    expect(wrapWords(text, columns)).toEqual(lines);
  });
});
