// The sheet of meter checks as one HTML file that needs nothing else: to print, or to tick on a phone.

import type { MeterChecks, MeterWay } from '../plan/index.js';
import type { ResolvedUnit } from '../profile/index.js';
import {
  byState,
  causesOf,
  headWords,
  rulesOf,
  showsWords,
  TITLES,
  tipsWords,
  unseenWords,
} from './meter-sheet.js';

const STYLE = `body{font:16px/1.4 sans-serif;max-width:60em;margin:1em auto;padding:0 1em;color:#111;background:#fff}
table{border-collapse:collapse;width:100%}td,th{border:1px solid #999;padding:.3em .5em;text-align:left;vertical-align:top}
input{width:1.3em;height:1.3em}td:first-child{white-space:nowrap}small{color:#444}@media print{body{font-size:12px}}`;

const escaped = (text: string): string =>
  text.replaceAll('&', '&amp;').replaceAll('<', '&lt;').replaceAll('>', '&gt;').replaceAll('"', '&quot;');

export function sheetPage(unit: ResolvedUnit, { checks, unseen }: MeterChecks, way: MeterWay): string {
  let number = 0;
  const rows = byState(checks).flatMap(({ state, checks: same }) => [
    `<tr><th colspan="4">${escaped(state)}</th></tr>`,
    ...same.map((check) => {
      number++;
      const label = `check ${number}`;
      return `<tr><td><input type="checkbox" aria-label="${label}"> ${number}</td><td>${escaped(tipsWords(check))}<br><small>else ${escaped(causesOf(check))}</small></td><td>${escaped(showsWords(check.reading.range, check.shows))}</td><td></td></tr>`;
    }),
  ]);
  return `<!doctype html>
<html lang="en"><head><meta charset="utf-8"><meta name="viewport" content="width=device-width">
<title>Meter checks: ${escaped(unit.unit.title)}</title><style>${STYLE}</style></head><body>
<h1>${TITLES[way]}</h1>
<p>${escaped(headWords(unit))}</p>
${rulesOf(unit, way)
  .map((rule) => `<p>${escaped(rule)}</p>`)
  .join('\n')}
<table><tr><th>Done</th><th>Tips</th><th>Must show</th><th>Shown</th></tr>
${rows.join('\n')}
</table>
<h2>${escaped(unseenWords(way))}</h2>
<ul>${unseen.map(({ cause }) => `<li>${escaped(cause)}</li>`).join('\n')}</ul>
<p>Unit: ________ &nbsp; By: ________ &nbsp; Date: ________</p>
</body></html>
`;
}
