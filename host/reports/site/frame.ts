// What every page of the site has: head, links between pages, one style for screen and paper.

import { escaped } from '../svg.js';

const STYLE = `
:root { color-scheme: light; }
* { box-sizing: border-box; }
body { font: 15px/1.4 sans-serif; color: #000; background: #fff; margin: 0 auto; padding: 0 1rem 2rem; max-width: 80rem; }
h1 { font-size: 1.4rem; margin: 0.8rem 0 0.2rem; }
h2 { font-size: 1.1rem; margin: 1.4rem 0 0.4rem; border-bottom: 1px solid #000; }
nav a { margin-right: 1.2rem; }
a { color: #003a8c; }
a:focus-visible, input:focus-visible, select:focus-visible, button:focus-visible { outline: 3px solid #d06000; outline-offset: 1px; }
form { display: flex; flex-wrap: wrap; gap: 0.6rem 1rem; align-items: end; margin: 0.8rem 0; }
label { display: flex; flex-direction: column; font-size: 0.85rem; }
input, select, button { font: inherit; padding: 0.25rem 0.4rem; min-height: 2rem; }
input[type=search] { width: 20rem; max-width: 90vw; }
table { border-collapse: collapse; width: 100%; }
th { text-align: left; border-bottom: 2px solid #000; }
th, td { padding: 0.3rem 0.8rem 0.3rem 0; vertical-align: top; }
td { border-bottom: 1px solid #bbb; overflow-wrap: anywhere; }
td.when, td.unit { white-space: nowrap; }
td.number, th.number { text-align: right; font-variant-numeric: tabular-nums; }
.verdict { display: inline-block; white-space: nowrap; padding: 0 0.4rem; border: 1px solid #000; font-weight: bold; }
.fail { background: #000; color: #fff; -webkit-print-color-adjust: exact; print-color-adjust: exact; }
.cannot-tell { border-style: dashed; }
tr:focus-within { background: #eef; }
.note { color: #333; font-size: 0.85rem; }
.chart { max-width: 60rem; } .chart svg { width: 100%; height: auto; display: block; }
@media screen and (max-width: 700px) {
  .list thead { display: none; } .list, .list tbody, .list tr, .list td { display: block; }
  .list tr { border-bottom: 1px solid #999; padding: 0.5rem 0; } .list td { border: 0; padding: 0; overflow-wrap: break-word; }
  .list td.when, .list td.unit { display: inline-block; margin-right: 1rem; } .list td:empty { display: none; }
  label, input[type=search], select { width: 100%; max-width: 100%; } form { gap: 0.5rem; }
}
@media print { nav, form, .paging { display: none; } body { max-width: none; padding: 0; font-size: 9pt; } a { color: #000; text-decoration: none; } thead { display: table-header-group; } tr { break-inside: avoid; } }
@page { margin: 12mm; }
`;

export interface PageTold {
  /** Name of the shop; empty where none is settled. */
  shop: string;
  title: string;
  /** HTML. */
  body: string;
}

export const LIST_FILE = 'index.html';
export const STATS_FILE = 'statistics.html';

export function page({ shop, title, body }: PageTold): string {
  const name = shop === '' ? title : `${title}, ${shop}`;
  return `<!doctype html>
<html lang="en">
<head><meta charset="utf-8"><meta name="viewport" content="width=device-width, initial-scale=1">
<title>${escaped(name)}</title><style>${STYLE}</style></head>
<body>
<h1>${escaped(name)}</h1>
<nav><a href="${LIST_FILE}">Runs</a><a href="${STATS_FILE}">Statistics</a></nav>
${body}
</body>
</html>
`;
}
