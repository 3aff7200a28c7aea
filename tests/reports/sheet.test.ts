// The sheet of a run: what stands on it, in which order, and that it stays one page.

import { describe, expect, it } from 'vitest';
import { type Sheet, type SheetCheck, sheetHtml, sheetPdf } from '../../host/reports/sheet/index.js';

const check = (i: number, outcome: SheetCheck['outcome'] = 'pass'): SheetCheck => ({
  ...{ outcome, sentence: `Check ${i}: runs at 4.07 ± 0.04 A (expected 3.22 to 6.45 A).` },
  origin: 'learned',
});

const SHEET: Sheet = {
  shop: ['Vans & more', 'Mill Lane 3'],
  tag: 'V-0110',
  title: 'Entry step <left>',
  verdict: 'fail',
  sentence: 'The ground wire has a bad joint.',
  causes: [
    {
      chance: '>99 %',
      sentence: 'The ground wire has a bad joint.',
      proof: ['Lead B, forward: 2.1 V, a good unit 0.1 V.'],
      nextProbe: 'Measure from the joint to ground.',
    },
  ],
  picture: '<svg viewBox="0 0 960 450" width="960" height="450"><text x="1" y="9">traces</text></svg>',
  checks: [check(1), check(2, 'fail'), check(3)],
  facts: [['rig', 'bench-1, 76 Ω']],
  story: ['2026-11-20 09:00:00  FAIL  It was worse.'],
  cautions: ['Clamp the motor.'],
  runId: '2026-11-27-0002',
  anchor: 'cd4293c1d343',
  at: '2026-11-27T10:19:08.000Z',
  code: '2026-11-27-0002/cd4293c1d343',
};
/** What a full run has, and more: sixty checks of three lines, three causes. */
const LONG: Sheet = {
  ...SHEET,
  checks: Array.from({ length: 60 }, (_, i) => ({ ...check(i), sentence: check(i).sentence.repeat(3) })),
  causes: Array.from({ length: 3 }, () => ({
    chance: '30 %',
    sentence: 'The ground wire has a bad joint between here and there. '.repeat(2),
    proof: ['Lead B, forward: 2.1 V, a good unit 0.1 V.'],
    nextProbe: 'Measure from the joint to ground. '.repeat(4),
  })),
  story: Array.from({ length: 5 }, () => '2026-11-20 09:00:00  FAIL  It was worse.'),
};

describe('sheet as HTML', () => {
  const html = sheetHtml(SHEET, 'a4');

  it('tells tag, verdict, cause, next probe and proof before traces, checks, rig, story and cautions', () => {
    const order = [
      ...['<h1>V-0110</h1>', '>FAIL<', 'bad joint', 'Measure from the joint', 'a good unit 0.1 V'],
      ...['>traces<', 'Check 2', 'bench-1', 'It was worse', 'Clamp the motor', 'anchor cd4293c1d343'],
    ].map((text) => html.indexOf(text));
    expect(order.every((at) => at > 0)).toBe(true);
    expect(order).toEqual(order.toSorted((a, b) => a - b));
  });

  it('puts failed checks first, each with where its limit comes from', () => {
    expect(html.indexOf('Check 2')).toBeLessThan(html.indexOf('Check 1'));
    expect(html.match(/known good unit/g)).toHaveLength(3);
  });

  it('asks nothing of a network or a script and lets no name become markup', () => {
    expect(html.replaceAll('http://www.w3.org/', '')).not.toMatch(/https?:|<script|<link|@import|url\(/);
    expect(html).toContain('Entry step &lt;left&gt;');
    expect(html).toContain('Vans &amp; more');
  });

  it('keeps a number with its ± and unit on one line', () => {
    expect(html).toContain('4.07\u00a0±\u00a00.04\u00a0A');
  });

  it('counts what has no room, and leaves none out uncounted', () => {
    const long = sheetHtml(LONG, 'letter');
    const shown = long.match(/<td class="outcome">/g)?.length ?? 0;
    expect(shown).toBeGreaterThan(3);
    expect(shown).toBeLessThan(40);
    expect(long).toContain(`and ${60 - shown} more: ${60 - shown} pass`);
  });

  it.each([
    ['Letter', 'letter', 'size: letter'],
    ['A4', 'a4', 'size: A4'],
  ] as const)('prints on %s', (_name, paper, css) => {
    expect(sheetHtml(SHEET, paper)).toContain(css);
  });
});

/** Somewhat higher than wide, as a relay pair's. */
const circuitOf = (width: number) => ({
  svg: `<svg viewBox="0 0 ${width} ${1.1 * width}" width="${width}" height="${1.1 * width}"><text x="1" y="9">place</text></svg>`,
  caption: 'Thrown forward; ! the faulty place',
});

describe('circuit on the sheet', () => {
  it('stands beside the checks, which give way to it', () => {
    const shownOf = (html: string): number => html.match(/<td class="outcome">/g)?.length ?? 0;
    const long = { ...LONG, causes: SHEET.causes, story: [] };
    const beside = sheetHtml({ ...long, circuit: circuitOf(480) }, 'a4');
    expect(beside).toContain('>place<');
    expect(beside).toContain('! the faulty place');
    expect(shownOf(beside)).toBeLessThan(shownOf(sheetHtml(long, 'a4')));
    expect(shownOf(beside)).toBeGreaterThan(0);
  });

  it('stands on a sheet full of story: older lines give way to it and are counted', async () => {
    const story = Array.from({ length: 5 }, (_, i) => `2026-11-2${i} 09:00:00  note  line ${i} of its story`);
    // So many facts that the circuit has room with one line of story, and with five none.
    const facts = (count: number): Sheet['facts'] =>
      Array.from({ length: count }, (_, i) => [`fact ${i}`, 'as it was found']);
    let cut = 0;
    for (let count = 1; count <= 13; count++) {
      const full = { ...SHEET, facts: facts(count), story, storyLeft: 2, circuit: circuitOf(480) };
      const html = sheetHtml(full, 'a4');
      expect(html, `${count} facts`).toContain('>place<');
      const told = story.filter((line) => html.includes(line)).length;
      if (told === 5) continue;
      cut += 1;
      const left = 7 - told;
      expect(html).toContain(
        told === 0 ? `${left} earlier entries: they stand in the record` : `and ${left} more before`,
      );
      for (const line of story.slice(0, told)) expect(html).toContain(line);
    }
    expect(cut).toBeGreaterThan(3);
  });

  it('is left out where its letters would be too small to read', () => {
    expect(sheetHtml({ ...SHEET, circuit: circuitOf(1400) }, 'a4')).not.toContain('>place<');
  });

  it('leaves the PDF one page', async () => {
    for (const sheet of [SHEET, LONG])
      expect(
        (await sheetPdf({ ...sheet, circuit: circuitOf(480) }, 'letter'))
          .toString('latin1')
          .match(/\/Type \/Page\b/g),
      ).toHaveLength(1);
  });
});

describe('sheet as PDF', () => {
  const pagesOf = (pdf: Buffer): number => pdf.toString('latin1').match(/\/Type \/Page\b/g)?.length ?? 0;
  const sizeOf = (pdf: Buffer): string | undefined =>
    /\/MediaBox \[([^\]]+)\]/.exec(pdf.toString('latin1'))?.[1];

  it('is one page of A4 (ISO 216) or Letter, however much there is to tell', async () => {
    for (const sheet of [SHEET, LONG]) {
      const a4 = await sheetPdf(sheet, 'a4');
      expect(a4.toString('latin1', 0, 5)).toBe('%PDF-');
      expect([pagesOf(a4), sizeOf(a4)]).toEqual([1, '0 0 595.28 841.89']);
      const letter = await sheetPdf(sheet, 'letter');
      expect([pagesOf(letter), sizeOf(letter)]).toEqual([1, '0 0 612 792']);
    }
  });

  it('is the same to the byte each time it is made', async () => {
    expect((await sheetPdf(SHEET, 'a4')).equals(await sheetPdf(SHEET, 'a4'))).toBe(true);
  });

  it('carries its typeface, since the built-in ones lack Ω', async () => {
    expect((await sheetPdf(SHEET, 'a4')).toString('latin1')).toMatch(/\/FontFile2/);
  });

  it('is made of a run without causes, picture, story and shop', async () => {
    const { anchor: _, picture: __, verdict: ___, ...rest } = SHEET;
    const bare: Sheet = { ...rest, shop: [], causes: [], checks: [], story: [] };
    expect(pagesOf(await sheetPdf(bare, 'a4'))).toBe(1);
    expect(sheetHtml(bare, 'a4')).toContain('STILL RUNNING');
  });
});
