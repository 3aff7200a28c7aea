import { describe, expect, it } from 'vitest';
import { colourOf, printable, reading, themeFor, wrapWords } from '../../host/screens/index.js';

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
