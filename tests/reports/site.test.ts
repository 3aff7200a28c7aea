// The folder of plain pages as a browser opens it from disk: list, search, filters, keys, print, and no network.

import { mkdirSync, mkdtempSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { pathToFileURL } from 'node:url';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { deskScript, listPage, monthFile, type SiteRun, statsPage } from '../../host/reports/site/index.js';
import { Browser, hasBrowser } from './browser.js';

const RUNS = 10_000;
/** Every third one failed; each unit twice; months of 1000 runs; the last word of the reason is its own. */
const run = (i: number): SiteRun => {
  const month = String(10 - Math.floor(i / 1000)).padStart(2, '0');
  const day = String(28 - Math.floor((i % 1000) / 40)).padStart(2, '0');
  return {
    ...{
      run: `2026-${month}-${day}-${i}`,
      unit: `V-${10_000 + (i >> 1)}`,
      day: `2026-${month}-${day}`,
      when: `2026-${month}-${day} 10:00:00`,
    },
    ...{ profile: i % 2 ? 'Roof vent' : 'Entry step', verdict: i % 3 === 0 ? 'fail' : 'pass' },
    ...{ told: i % 3 === 0 ? 'FAIL' : 'PASS', reason: `Runs at 4.1 A. Mark${i}x`, cause: '' },
    ...{
      decided: '',
      operator: i === 77 ? '<b>day shift</b></script>' : 'day shift',
      job: '',
      sheet: `sheets/2026-${month}/${i}.html`,
    },
  };
};

let folder: string;
let browser: Browser;
let list: string;
beforeAll(() => {
  if (!hasBrowser()) return;
  folder = mkdtempSync(join(tmpdir(), 'throwbench-site-'));
  mkdirSync(join(folder, 'data'));
  const put = (name: string, text: string): void => writeFileSync(join(folder, name), text);
  const all = Array.from({ length: RUNS }, (_, i) => run(i));
  const months = [...new Set(all.map(({ when }) => when.slice(0, 7)))].map((month) => `data/${month}.js`);
  for (const path of months) put(path, monthFile(all.filter(({ when }) => path.includes(when.slice(0, 7)))));
  put('data/desk.js', deskScript());
  mkdirSync(join(folder, 'sheets', '2026-09'), { recursive: true });
  put('sheets/2026-09/1289.html', '<title>sheet</title>');
  const told = { shop: 'Vans & more', runs: RUNS, newest: '2026-10-28 10:00:00', months };
  put('index.html', listPage({ ...told, profiles: ['Entry step', 'Roof vent'] }));
  list = pathToFileURL(join(folder, 'index.html')).href;
  browser = new Browser();
});
afterAll(async () => {
  await browser?.close();
  if (folder) rmSync(folder, { recursive: true, force: true });
});

const count = (): Promise<string> => browser.ask("document.getElementById('count').textContent");
const rows = (): Promise<string[]> =>
  browser.ask("[...document.querySelectorAll('#rows tr')].map((row) => row.innerText)");
const focused = (): Promise<string> =>
  browser.ask("document.activeElement.getAttribute('href') ?? document.activeElement.id");
const set = (id: string, value: string): Promise<void> =>
  browser.ask(
    `{ const field = document.getElementById(${JSON.stringify(id)}); field.value = ${JSON.stringify(value)}; field.dispatchEvent(new Event('input', { bubbles: true })); undefined }`,
  );

// Without a browser this shows as skipped.
describe.skipIf(!hasBrowser())('a list of ten thousand runs, opened from disk', () => {
  it('opens within two seconds, shows a page of it, and asks for nothing but files beside it', async () => {
    const took: number[] = [];
    for (let i = 0; i < 3; i++) {
      const from = performance.now();
      const asked = await browser.open(list);
      took.push(performance.now() - from);
      expect(asked.filter((url) => !/^(file|data):/.test(url))).toEqual([]);
    }
    expect(Math.min(...took)).toBeLessThan(2000);
    expect(await count()).toBe('10000 of 10000 runs, 1 to 100 shown');
    expect(await rows()).toHaveLength(100);
  });

  it('is read on a phone without being moved sideways, each run under the other', async () => {
    // Of its own: what a screen was told to be stays with a browser.
    const phone = new Browser();
    try {
      await phone.open(list);
      const screen = { width: 390, height: 844, deviceScaleFactor: 2, mobile: true };
      await phone.send('Emulation.setDeviceMetricsOverride', screen);
      await phone.open(list);
      expect(await phone.ask<number>("document.querySelectorAll('#rows tr').length")).toBe(100);
      expect(await phone.ask<number>('document.documentElement.scrollWidth')).toBeLessThanOrEqual(390);
    } finally {
      await phone.close();
    }
  });

  it('finds all words in any case within a tenth of a second', async () => {
    await browser.open(list);
    await set('words', 'mark4321X v-12160');
    expect(await count()).toBe('1 of 10000 runs');
    expect((await rows())[0]).toContain('Mark4321x');
    await set('words', 'no such thing');
    expect(await count()).toBe('No run fits; clear a filter.');
    const took = await browser.ask<number>(`(() => {
      const field = document.getElementById('words');
      return Math.min(...['mark1', 'mark2', 'shift', 'v-1', '4.1'].map((text) => {
        const from = performance.now();
        field.value = text;
        field.dispatchEvent(new Event('input', { bubbles: true }));
        return performance.now() - from;
      }));
    })()`);
    expect(took).toBeLessThan(100);
  });

  it('filters by verdict, profile, day and newest of each unit, and keeps that on the way back', async () => {
    await browser.open(list);
    await set('verdict', 'fail');
    expect(await count()).toMatch(/^3334 of/);
    await set('profile', 'Entry step');
    expect(await count()).toMatch(/^1667 of/);
    await set('since', '2026-10-28');
    await set('until', '2026-10-28');
    expect(await count()).toBe('7 of 10000 runs');
    const here = await browser.ask<string>('location.href');
    await browser.open('about:blank');
    await browser.open(here);
    expect(await count()).toBe('7 of 10000 runs');
    await browser.ask("document.querySelector('button[type=reset]').click()");
    await set('attempts', 'newest');
    expect(await count()).toMatch(/^5000 of/);
  });

  it('is worked by keys alone: / searches, arrows walk the runs and turn the page, Enter opens the sheet', async () => {
    await browser.open(list);
    await browser.press('/', 191, '/');
    expect(await focused()).toBe('words');
    await browser.type('mark12');
    const first = (await rows())[0]!;
    expect(first).toContain('Mark12x');
    await browser.press('ArrowDown', 40);
    expect(await focused()).toBe('sheets/2026-10/12.html');
    await browser.press('ArrowDown', 40);
    expect(await focused()).toBe('sheets/2026-10/120.html');
    await browser.press('ArrowUp', 38);
    await browser.press('ArrowUp', 38);
    expect(await focused()).toBe('words');
    // 111 runs begin so: the second page has eleven.
    await browser.ask("[...document.querySelectorAll('#rows a')].at(-1).focus()");
    await browser.press('ArrowDown', 40);
    expect(await count()).toBe('111 of 10000 runs, 101 to 111 shown');
    await browser.press('Enter', 13, '\r');
    await expect.poll(() => browser.ask<string>('location.pathname')).toMatch(/sheets\/2026-09\/1289\.html$/);
  });

  it('prints what was found beyond the page on screen, without form and keys', async () => {
    await browser.open(list);
    await set('words', 'mark12');
    const printed = await browser.send('Page.printToPDF', {});
    expect(Buffer.from(printed.data as string, 'base64').toString('latin1', 0, 5)).toBe('%PDF-');
    // In one go: the browser's own end of printing comes when it comes.
    const whilePrinted =
      "dispatchEvent(new Event('beforeprint')); document.querySelectorAll('#rows a').length";
    expect(await browser.ask(whilePrinted)).toBe(111);
    await browser.send('Emulation.setEmulatedMedia', { media: 'print' });
    expect(await browser.ask("getComputedStyle(document.getElementById('filters')).display")).toBe('none');
    await browser.send('Emulation.setEmulatedMedia', { media: '' });
    const shown = "dispatchEvent(new Event('afterprint')); document.querySelectorAll('#rows a').length";
    expect(await browser.ask(shown)).toBe(100);
  });

  it('lets no text of a record become markup', async () => {
    await browser.open(list);
    await set('words', '</script>');
    expect(await count()).toBe('1 of 10000 runs');
  });
});

describe('the page of statistics', () => {
  it('draws bars to one scale, the numbers beside them, and tells yields', () => {
    const html = statsPage({
      ...{ shop: 'Vans & more', runs: 8, units: 5, unitsPassedFirst: 2, unitsPassedLast: 4 },
      byMonth: [
        { name: '2026-09', pass: 1, fail: 1, cannotTell: 0 },
        { name: '2026-10', pass: 3, fail: 2, cannotTell: 1 },
      ],
      byProfile: [],
      byBench: [{ name: 'bench-<2>', pass: 2, fail: 0, cannotTell: 2 }],
      causes: [{ sentence: 'The coil of K1 is open <here>.', runs: 3 }],
    });
    const widths = [...html.matchAll(/<rect x="[^"]+" y="[^"]+" width="([^"]+)" height="16"/g)].map(
      ([, width]) => Number(width),
    );
    // 1 and 1 of September; 3, 1 and 2 of October: widths in that proportion, to a tenth. Of the bench by a scale of its own.
    expect(widths.map((width) => Math.round((10 * width) / widths[0]!) / 10).slice(0, 5)).toEqual([
      1, 1, 3, 1, 2,
    ]);
    expect(widths.length).toBe(7);
    expect(widths[5]).toBe(widths[6]);
    expect(html).toContain('4 (80 %)');
    expect(html).toContain('open &lt;here&gt;');
    expect(html).toContain('<td>bench-&lt;2&gt;</td><td class="number">4</td>');
    expect(html).not.toMatch(/https?:\/\/(?!www\.w3\.org)/);
  });
});
