// Statistics of all runs as a page with pictures; the numbers stand beside each picture, since a bar is no number.

import { share, VERDICT_WORDS } from '../../tell/index.js';
import { escaped, n, textAt, textWidth } from '../svg.js';
import { page } from './frame.js';

export interface Counted {
  name: string;
  pass: number;
  fail: number;
  cannotTell: number;
}

export interface SiteStats {
  shop: string;
  runs: number;
  units: number;
  unitsPassedFirst: number;
  unitsPassedLast: number;
  byMonth: readonly Counted[];
  byProfile: readonly Counted[];
  byBench: readonly Counted[];
  /** The most frequent first. */
  causes: readonly { sentence: string; runs: number }[];
}

const PICTURE = { width: 900, row: 24, bar: 16, size: 13, right: 60 };
const MOST_BARS = 24;
const HATCH =
  '<defs><pattern id="hatch" width="6" height="6" patternUnits="userSpaceOnUse" patternTransform="rotate(45)"><rect width="6" height="6" fill="#fff"/><rect width="2" height="6" fill="#000"/></pattern></defs>';
/** Told apart without colour: white, hatched, black. */
const KINDS = [
  { kind: 'pass', words: VERDICT_WORDS.pass, fill: '#fff' },
  { kind: 'cannotTell', words: VERDICT_WORDS['cannot-tell'], fill: 'url(#hatch)' },
  { kind: 'fail', words: VERDICT_WORDS.fail, fill: '#000' },
] as const;

interface Bar {
  name: string;
  parts: readonly { value: number; fill: string }[];
}

/** Lying bars on one scale from nought, longest labels cut by nobody: the room on the left is theirs. */
function bars(rows: readonly Bar[], legend: readonly (readonly [fill: string, words: string])[]): string {
  const { width, row, bar, size, right } = PICTURE;
  const left = Math.min(400, Math.max(...rows.map(({ name }) => textWidth(name, size))) + 12);
  const sums = rows.map(({ parts }) => parts.reduce((sum, { value }) => sum + value, 0));
  const scale = (width - left - right) / Math.max(1, ...sums);
  const top = legend.length === 0 ? 4 : row;
  let legendX = left;
  const key = legend.map(([fill, words]) => {
    const x = legendX;
    legendX += 24 + textWidth(words, size) + 20;
    return `<rect x="${n(x)}" y="4" width="18" height="12" fill="${fill}" stroke="#000"/>${textAt(x + 24, 15, words, { size })}`;
  });
  const drawn = rows.map(({ name, parts }, i) => {
    const y = top + i * row;
    let x = left;
    const rects = parts.map(({ value, fill }) => {
      const wide = value * scale;
      const rect = `<rect x="${n(x)}" y="${n(y)}" width="${n(wide)}" height="${bar}" fill="${fill}" stroke="#000"/>`;
      x += wide;
      return value === 0 ? '' : rect;
    });
    const label = textAt(left - 8, y + 13, name, { size, anchor: 'end' });
    return `${label}${rects.join('')}${textAt(x + 6, y + 13, String(sums[i] ?? 0), { size })}`;
  });
  const height = top + rows.length * row + 6;
  return `<div class="chart"><svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 ${width} ${height}" width="${width}" height="${height}" font-family="sans-serif" role="img">${HATCH}${key.join('')}${drawn.join('\n')}</svg></div>`;
}

function counted(head: string, rows: readonly Counted[]): string {
  if (rows.length === 0) return '';
  const shown = rows.slice(-MOST_BARS);
  const picture = bars(
    shown.map((row) => ({
      name: row.name,
      parts: KINDS.map(({ kind, fill }) => ({ value: row[kind], fill })),
    })),
    KINDS.map(({ fill, words }) => [fill, words] as const),
  );
  const lines = rows.map((row) => {
    const runs = row.pass + row.fail + row.cannotTell;
    const numbers = [String(runs), ...KINDS.map(({ kind }) => String(row[kind])), share(row.pass, runs)];
    return `<tr><td>${escaped(row.name)}</td>${numbers.map((text) => `<td class="number">${text}</td>`).join('')}</tr>`;
  });
  const heads = ['runs', ...KINDS.map(({ words }) => words), 'yield'];
  return `<h2>By ${escaped(head)}</h2>
${picture}
<table><thead><tr><th scope="col">${escaped(head)}</th>${heads.map((text) => `<th scope="col" class="number">${escaped(text)}</th>`).join('')}</tr></thead><tbody>
${lines.join('\n')}
</tbody></table>`;
}

export function statsPage(stats: SiteStats): string {
  const { shop, runs, units, unitsPassedFirst, unitsPassedLast, byMonth, byProfile, byBench, causes } = stats;
  const found = causes.slice(0, MOST_BARS);
  const left = causes.length - found.length;
  const body = `<p>${runs} judged runs of ${units} units. Passed at the first run: ${unitsPassedFirst} (${share(unitsPassedFirst, units)}); at the newest: ${unitsPassedLast} (${share(unitsPassedLast, units)}).</p>
${counted('month', byMonth)}
${counted('profile', byProfile)}
${counted('bench', byBench)}
${
  found.length === 0
    ? ''
    : `<h2>Likeliest cause of runs that did not pass</h2>
<table><thead><tr><th scope="col" class="number">runs</th><th scope="col">cause</th></tr></thead><tbody>
${found.map((cause) => `<tr><td class="number">${cause.runs}</td><td>${meter(cause.runs, found[0]?.runs ?? 1)}${escaped(cause.sentence)}</td></tr>`).join('\n')}
</tbody></table>${left > 0 ? `<p>and ${left} rarer ones</p>` : ''}`
}`;
  return page({ shop, title: 'Statistics', body });
}

/** A cause is a sentence, too long for a label: its bar stands above it. */
const meter = (runs: number, most: number): string =>
  `<svg viewBox="0 0 600 8" width="600" height="8" style="max-width:100%;display:block" aria-hidden="true"><rect width="${n((600 * runs) / most)}" height="8" fill="#000"/></svg>`;
