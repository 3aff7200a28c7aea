// The key of a reading is made in one place, and nobody takes one apart to learn what it is of.

import { describe, expect, it } from 'vitest';
import { QUANTITY_NAMES } from '../../host/measure/index.js';
import { codeOnly, readSources } from './source-tree.js';

const MADE_IN = 'host/measure/reading.ts';
/** Ask by stretch and quantity, and look the key up in what is kept by it. */
const LOOKED_UP_IN = [
  'host/judge/checks/context.ts',
  'host/judge/feature-band.ts',
  'host/learn/clamp.ts',
  'host/learn/drift.ts',
  'host/learn/run.ts',
  'host/learn/speak.ts',
  'host/plan/currents.ts',
];

const capitalised = QUANTITY_NAMES.map((name) => name.charAt(0).toUpperCase() + name.slice(1));
const STRETCH = '(limited|rest|forward|reverse|held|afterForward|afterReverse)';
/** A key written out, one glued from a stretch, one asked how it begins or ends. */
const FORBIDDEN = [
  new RegExp(`['"\`.]${STRETCH}\\w*(${capitalised.join('|')})\\b`),
  new RegExp(`\\}(${capitalised.join('|')})\``),
  new RegExp(`\\.(startsWith|endsWith)\\(['"\`](${STRETCH}|${capitalised.join('|')})['"\`]\\)`),
  new RegExp(`/\\^?\\(?${STRETCH}\\|`),
];

const sources = readSources('host').map(({ path, text }) => ({ path, code: codeOnly(text) }));

describe('keys of readings', () => {
  it('are known by their shapes', () => {
    for (const bad of [
      "measured['forwardInrushPeakA']",
      'measured.restLeadAVoltageV',
      // biome-ignore lint/suspicious/noTemplateCurlyInString: such a text is what is looked for
      '`${position}RunningCurrentA`',
      "key.startsWith('limited')",
      "key.endsWith('InrushPeakA')",
      '/^(forward|reverse)/.exec(key)',
    ])
      expect(
        FORBIDDEN.some((shape) => shape.test(bad)),
        bad,
      ).toBe(true);
    for (const good of ["what === 'inrushPeakA'", "position === 'forward'", "'limited throw'"])
      expect(
        FORBIDDEN.some((shape) => shape.test(good)),
        good,
      ).toBe(false);
  });

  it('are made in one place and written out, glued or cut up nowhere', () => {
    const found = sources
      .filter(({ path }) => path !== MADE_IN)
      .flatMap(({ path, code }) =>
        FORBIDDEN.flatMap((shape) => {
          const hit = shape.exec(code);
          return hit ? [`${path}: ${hit[0]}`] : [];
        }),
      );
    expect(found).toEqual([]);
  });

  it('are looked up only where one asks by stretch and quantity', () => {
    const asking = sources.filter(({ code }) => /\bkeyOf\(/.test(code)).map(({ path }) => path);
    expect(asking.sort()).toEqual([MADE_IN, ...LOOKED_UP_IN].sort());
  });
});
