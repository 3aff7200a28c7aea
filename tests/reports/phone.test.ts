// Papers on a phone, in a browser of its own at 390 x 844: nothing wider than the screen but the pictures in their own
// frames, and letters as large as reading takes (16 CSS pixels are a browser's own; 13 are the least here, common practice,
// no source). On paper they stay as they are.

import { mkdtempSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { pathToFileURL } from 'node:url';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { type Sheet, sheetHtml } from '../../host/reports/sheet/index.js';
import { leafletHtml } from '../../host/reports/sheet/leaflet-html.js';
import { Browser, hasBrowser } from './browser.js';

const PICTURE =
  '<svg viewBox="0 0 960 450" width="960" height="450" xmlns="http://www.w3.org/2000/svg"><text x="1" y="20">traces</text></svg>';
const SHEET: Sheet = {
  shop: ['Vans & more', 'Mill Lane 3'],
  tag: 'V-0110',
  title: 'Entry step on a relay pair thrown on the ground side, grounded at rest',
  verdict: 'fail',
  sentence: 'The ground wire has a bad joint.',
  causes: [
    {
      chance: 'together >99 %',
      sentence:
        'The ground wire has a bad joint between the ground joint of both 87a and the ground. '.repeat(2),
      proof: ['Lead B, forward: 2.1 V, a good unit 0.1 V.'],
      nextProbe: 'Throw forward and measure from the ground joint of both 87a to ground.',
    },
  ],
  picture: PICTURE,
  checks: Array.from({ length: 12 }, (_, i) => ({
    outcome: i === 0 ? 'conditional-fail' : 'pass',
    sentence: `Forward ${i}: from the return lead to ground drops 2.12 ± 0.03 V (at most 0.27 V).`,
    origin: 'learned',
  })),
  facts: [['hash', 'cd4293c1d343'.repeat(5)]],
  story: ['2026-11-20 09:00:00  FAIL  It was worse.'],
  cautions: ['Clamp the motor: it jumps when it starts, and the mechanism moves with force.'],
  runId: '2026-11-27-0002',
  anchor: 'cd4293c1d343',
  at: '2026-11-27T10:19:08.000Z',
  code: '2026-11-27-0002/cd4293c1d343',
};
const LEAFLET = leafletHtml(
  {
    title: 'Wiring of an entry step on a relay pair',
    subtitle: 'Relay pair thrown on the ground side',
    shop: ['Vans & more'],
    foot: 'Local codes and licensed practice decide.',
    blocks: [
      { kind: 'heading', text: 'Wires' },
      {
        kind: 'table',
        widths: [1, 4, 4, 2, 2],
        head: ['wire', 'from', 'to', 'size', 'fuse'],
        rows: [['W1', 'the feed behind the fuse', '87 of K1', '2.5 mm²', '15 A']],
      },
      { kind: 'picture', svg: PICTURE, mostOfPage: 1 },
    ],
  },
  'a4',
);

/** Widest of what is not in a frame that scrolls by itself, and the smallest letters outside pictures, in CSS pixels. */
const MEASURED = `(() => {
  const seen = [...document.querySelectorAll('body *')].filter((one) => !one.closest('svg'));
  const right = Math.max(...seen.filter((one) => getComputedStyle(one).display !== 'none').map((one) => one.getBoundingClientRect().right));
  const letters = seen.filter((one) => one.getClientRects().length > 0 && [...one.childNodes].some((node) => node.nodeType === 3 && node.data.trim() !== ''));
  const smallest = Math.min(...letters.map((one) => parseFloat(getComputedStyle(one).fontSize)));
  const picture = document.querySelector('.picture svg').getBoundingClientRect().width;
  return { right, smallest, picture, page: document.documentElement.scrollWidth };
})()`;

describe.skipIf(!hasBrowser() && !process.env.CI)('on a phone', () => {
  let browser: Browser;
  let folder: string;
  beforeAll(() => {
    folder = mkdtempSync(join(tmpdir(), 'throwbench-phone-'));
    browser = new Browser();
  });
  afterAll(async () => {
    await browser.close();
    rmSync(folder, { recursive: true, force: true });
  });
  const measuredAt = async (html: string, width: number) => {
    const file = join(folder, 'paper.html');
    writeFileSync(file, html);
    await browser.open(pathToFileURL(file).href);
    const screen = { width, height: 844, deviceScaleFactor: 2, mobile: width < 700 };
    await browser.send('Emulation.setDeviceMetricsOverride', screen);
    await browser.open(pathToFileURL(file).href);
    return browser.ask<{ right: number; smallest: number; picture: number; page: number }>(MEASURED);
  };

  it.each([
    ['a sheet', sheetHtml(SHEET, 'a4')],
    ['a leaflet', LEAFLET],
  ])('%s is read without being moved sideways', { timeout: 60_000 }, async (_name, html) => {
    const phone = await measuredAt(html, 390);
    expect(phone.page).toBeLessThanOrEqual(390);
    expect(phone.right).toBeLessThanOrEqual(390);
    expect(phone.smallest).toBeGreaterThanOrEqual(13);
    // Letters of a picture are 11 of 960: at 680 they are as large as the smallest print on paper.
    expect(phone.picture).toBeGreaterThanOrEqual(640);
    const desk = await measuredAt(html, 1200);
    // 9 points of a page are 12 pixels.
    expect(desk.smallest).toBeLessThan(12.1);
  });
});
