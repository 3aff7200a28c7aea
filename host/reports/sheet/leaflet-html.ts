// A paper of several pages as one HTML file that needs nothing else: no network, no script; good in black and white.

import { escaped, n, partOf, sizeOf } from '../svg.js';
import type { Block, Leaflet } from './leaflet.js';
import { PHONE_STYLE, VIEWPORT } from './phone.js';
import { piecesOf } from './picture-pieces.js';
import type { Paper } from './sheet.js';

const PAGE: Record<Paper, { css: string; widthMm: number; heightMm: number }> = {
  a4: { css: 'A4', widthMm: 186, heightMm: 277 },
  letter: { css: 'letter', widthMm: 192, heightMm: 259 },
};

const POINTS_PER_MM = 72 / 25.4;
const HEADING_MM = 8;

const STYLE = ({ css, widthMm }: (typeof PAGE)[Paper]): string => `
@page { size: ${css}; margin: 10mm 12mm; }
* { box-sizing: border-box; }
body { font: 9pt/1.3 sans-serif; color: #000; background: #fff; width: ${widthMm}mm; margin: 0 auto; }
header { display: flex; justify-content: space-between; align-items: flex-start; }
h1 { font-size: 17pt; margin: 0; line-height: 1.1; } .shop { text-align: right; white-space: nowrap; }
h2 { font-size: 9pt; margin: 3mm 0 0.8mm; border-bottom: 0.3mm solid #000; break-after: avoid; }
p { margin: 0 0 0.8mm; } .bad { font-weight: bold; } .small { font-size: 7.4pt; }
table { border-collapse: collapse; width: 100%; font-size: 8pt; line-height: 1.25; table-layout: fixed; }
th { text-align: left; font-weight: normal; font-size: 7pt; } tr { break-inside: avoid; }
td, th { padding: 0.4mm 1.5mm 0.4mm 0; vertical-align: top; border-bottom: 0.1mm solid #999; overflow-wrap: anywhere; }
.picture { text-align: center; break-inside: avoid; } .picture svg { height: auto; }
footer { margin-top: 2mm; border-top: 0.3mm solid #000; font-size: 8pt; }
${PHONE_STYLE}`;

export function leafletHtml({ title, subtitle, shop, blocks, foot }: Leaflet, paper: Paper): string {
  const page = PAGE[paper];
  return `<!doctype html>
<html lang="en">
<head><meta charset="utf-8">${VIEWPORT}<title>${escaped(title)}</title><style>${STYLE(page)}</style></head>
<body>
<header><div><h1>${escaped(title)}</h1><p>${escaped(subtitle)}</p></div><div class="shop">
${shop.map((line, i) => `<div${i === 0 ? ' class="bad"' : ''}>${escaped(line)}</div>`).join('\n')}
</div></header>
${blocks.map((block) => blockHtml(block, page)).join('\n')}
<footer>${escaped(foot)}</footer>
</body>
</html>
`;
}

function blockHtml(block: Block, { widthMm, heightMm }: (typeof PAGE)[Paper]): string {
  switch (block.kind) {
    case 'heading':
      return `<h2>${escaped(block.text)}</h2>`;
    case 'text': {
      const name = block.isBold ? ' class="bad"' : block.isFine ? ' class="small"' : '';
      return `<p${name}>${escaped(block.text)}</p>`;
    }
    case 'table': {
      const whole = block.widths.reduce((sum, each) => sum + each, 0);
      const columns = block.widths.map((each) => `<col style="width:${Math.round((100 * each) / whole)}%">`);
      return `<table><colgroup>${columns.join('')}</colgroup>${
        block.head.length === 0 ? '' : `<thead>${rowHtml(block.head, 'th', block.widths.length)}</thead>`
      }<tbody>${block.rows.map((row) => rowHtml(row, 'td', block.widths.length, block.head)).join('\n')}</tbody></table>`;
    }
    case 'picture': {
      const { svg, mostOfPage, breaks = [] } = block;
      const page = { width: widthMm * POINTS_PER_MM, height: (heightMm - HEADING_MM) * POINTS_PER_MM };
      return piecesOf({ ...sizeOf(svg), mostOfPage, breaks }, page)
        .map((piece) => {
          const wide = (piece.scale * piece.width) / POINTS_PER_MM;
          const size = ` style="width:${n(wide)}mm"`;
          const part = piece.caption === '' ? svg : partOf(svg, piece);
          const caption = piece.caption === '' ? '' : `<p class="small">${escaped(piece.caption)}</p>`;
          return `<div class="picture">${part.replace(/ width="[^"]*" height="[^"]*"/, size)}${caption}</div>`;
        })
        .join('\n');
    }
  }
}

/** @param head names each cell where a narrow screen puts them one under the other */
function rowHtml(
  row: readonly string[],
  tag: 'td' | 'th',
  columns: number,
  head: readonly string[] = [],
): string {
  const cells = row.map((text, i) => {
    const spare = i === row.length - 1 ? columns - row.length : 0;
    const name = head[i] ? ` data-head="${escaped(head[i])}"` : '';
    return `<${tag}${spare > 0 ? ` colspan="${spare + 1}"` : ''}${name}>${escaped(text)}</${tag}>`;
  });
  return `<tr>${cells.join('')}</tr>`;
}
