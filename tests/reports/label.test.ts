// Labels and batch sheets on paper: page sizes, and each code read back by another library from the raster that poppler
// makes of the page.

import { execFileSync, spawnSync } from 'node:child_process';
import { mkdtempSync, readdirSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import decoder from 'jsqr';
import { describe, expect, it } from 'vitest';
import { batchPdf, codeSideMm, type Label, labelsPdf, sheetPdf } from '../../host/reports/sheet/index.js';

const LABEL: Label = {
  ...{ tag: 'V-0107', verdict: 'fail', runId: '2026-11-27-0007', anchor: 'cd4293c1d343' },
  ...{ at: '2026-11-27T10:19:08.000Z', code: '2026-11-27-0007/cd4293c1d343' },
  lines: ['2026-11-27 10:19:08', 'run 2026-11-27-0007', 'Vans at the mill'],
};
/** Its types tell of an ES module, its file is an older one: Node gives the function, or it as `default`. */
const jsQR = ((decoder as { default?: unknown }).default ?? decoder) as unknown as typeof decoder.default;
const hasPoppler = (): boolean => spawnSync('pdftoppm', ['-v']).status === 0;
/** Without poppler these show as skipped. */
const withPoppler = it.skipIf(!hasPoppler());

interface Raster {
  width: number;
  height: number;
  rgba: Uint8ClampedArray;
}

/** Pages at so many dots an inch: Netpbm's binary PPM, three bytes a dot. */
function rasterOf(pdf: Buffer, dpi: number): Raster[] {
  const folder = mkdtempSync(join(tmpdir(), 'throwbench-label-'));
  writeFileSync(join(folder, 'x.pdf'), pdf);
  execFileSync('pdftoppm', ['-r', String(dpi), join(folder, 'x.pdf'), join(folder, 'page')]);
  const pages = readdirSync(folder)
    .filter((name) => name.endsWith('.ppm'))
    .sort()
    .map((name) => {
      const bytes = readFileSync(join(folder, name));
      const [head = '', width, height] =
        /^P6\s+(\d+)\s+(\d+)\s+255\s/.exec(bytes.toString('latin1', 0, 40)) ?? [];
      const dots = bytes.subarray(head.length);
      const rgba = new Uint8ClampedArray(Number(width) * Number(height) * 4).fill(255);
      for (let i = 0; i < rgba.length / 4; i++)
        for (let k = 0; k < 3; k++) rgba[4 * i + k] = dots[3 * i + k]!;
      return { width: Number(width), height: Number(height), rgba };
    });
  rmSync(folder, { recursive: true, force: true });
  return pages;
}
const codeIn = ({ width, height, rgba }: Raster): string | undefined => jsQR(rgba, width, height)?.data;

describe('labels', () => {
  withPoppler.each([
    ['60 × 30 mm', { widthMm: 60, heightMm: 30 }, 203],
    ['the smallest for its code, on a label printer of 203 dots an inch', { widthMm: 24, heightMm: 14 }, 203],
    ['upright', { widthMm: 30, heightMm: 50 }, 203],
    ['a large one', { widthMm: 150, heightMm: 100 }, 150],
  ])('have a code that reads back on %s', async (_name, size, dpi) => {
    const [page] = rasterOf(await labelsPdf([LABEL], size), dpi);
    expect(codeIn(page!)).toBe(LABEL.code);
    expect(Math.abs(page!.width - (size.widthMm / 25.4) * dpi)).toBeLessThan(2);
  });

  withPoppler('stand one a page, in their order, whatever the tag and the verdict', async () => {
    const labels = [
      LABEL,
      {
        ...LABEL,
        tag: 'A-very-long-tag-of-24-ab',
        verdict: 'cannot-tell' as const,
        code: '2026-11-27-0008/0123456789ab',
      },
    ];
    const pages = rasterOf(await labelsPdf(labels, { widthMm: 60, heightMm: 30 }), 203);
    expect(pages.map(codeIn)).toEqual(labels.map(({ code }) => code));
    // Nothing is set outside: the edge of the second is white all around.
    const { width, height, rgba } = pages[1]!;
    const isWhite = (x: number, y: number): boolean => rgba[4 * (y * width + x)]! > 250;
    for (let x = 0; x < width; x++) expect(isWhite(x, 0) && isWhite(x, height - 1)).toBe(true);
    for (let y = 0; y < height; y++) expect(isWhite(0, y) && isWhite(width - 1, y)).toBe(true);
  });

  it('are refused where a code would be too fine, and are the same to the byte each time', async () => {
    // 29 letters take version 2, 25 modules (ISO/IEC 18004, table 7), and four free on each side: 33 of 0.25 mm.
    expect(codeSideMm({ widthMm: 60, heightMm: 11.2 }, LABEL.code)).toBeUndefined();
    expect(codeSideMm({ widthMm: 60, heightMm: 11.3 }, LABEL.code)).toBeCloseTo(8.3);
    const size = { widthMm: 60, heightMm: 30 };
    expect((await labelsPdf([LABEL], size)).equals(await labelsPdf([LABEL], size))).toBe(true);
  });
});

describe('the sheet of a batch', () => {
  withPoppler('takes as many pages as its units need, each unit with its own code', async () => {
    const units = Array.from({ length: 16 }, (_, i) => ({
      ...LABEL,
      tag: `V-01${i}`,
      code: `2026-11-27-00${10 + i}/cd4293c1d343`,
    }));
    const batch = { shop: ['Vans'], title: 'Job 31', at: LABEL.at, summary: '16 units', units };
    const pages = rasterOf(await batchPdf(batch, 'a4'), 100);
    expect(pages).toHaveLength(2);
    const read = new Set<string>();
    // A strip a row, since a decoder looks for one code.
    for (const { width, height, rgba } of pages)
      for (let top = 0; top < height; top += 12) {
        const rows = Math.min(84, height - top);
        const from = Math.floor(0.8 * width);
        const strip = new Uint8ClampedArray(4 * (width - from) * rows);
        for (let y = 0; y < rows; y++)
          strip.set(
            rgba.subarray(4 * ((top + y) * width + from), 4 * (top + y + 1) * width),
            4 * y * (width - from),
          );
        const found = jsQR(strip, width - from, rows)?.data;
        if (found) read.add(found);
      }
    expect([...read].sort()).toEqual(units.map(({ code }) => code).sort());
  });
});

describe('the sheet of a run', () => {
  withPoppler('has a code that reads back', async () => {
    const sheet = {
      ...{
        shop: [],
        tag: 'V-0107',
        title: 'x',
        verdict: 'pass' as const,
        sentence: '',
        causes: [],
        checks: [],
      },
      ...{ facts: [], story: [], cautions: [], runId: LABEL.runId, at: LABEL.at, code: LABEL.code },
    };
    const [page] = rasterOf(await sheetPdf(sheet, 'a4'), 150);
    expect(codeIn(page!)).toBe(LABEL.code);
  });
});
