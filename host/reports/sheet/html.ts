// The sheet of a run as one HTML file that needs nothing else: no network, no script. One page when printed, and good
// in black and white.

import { fixed, ORIGIN_WORDS, OUTCOME_WORDS } from '../../tell/index.js';
import { aspectOf, escaped, widthOf } from '../svg.js';
import { storyLines, withRoomForCircuit } from './briefer.js';
import { codeSvg } from './code.js';
import { PHONE_STYLE, VIEWPORT } from './phone.js';
import {
  LEAST_LETTER_MM,
  type Paper,
  reasonOf,
  type Sheet,
  type SheetCheck,
  SVG_LETTER,
  tellingFirst,
} from './sheet.js';
import { footOf, HEADS, leftOut, unbroken, verdictWord } from './words.js';

/** Inside of the margins. */
const PAGE: Record<Paper, { css: string; widthMm: number; heightMm: number }> = {
  a4: { css: 'A4', widthMm: 186, heightMm: 277 },
  letter: { css: 'letter', widthMm: 192, heightMm: 259 },
};
/** Letters of a line at the sizes of text and of checks, rather few. */
const LETTERS = 118;
const CHECK_LETTERS = 92;
/** What lines and blocks take, rather much: a browser sets them itself. */
const LINE_MM = 4.4;
/** A circuit beside the checks: its column, its caption, the letters of a check that are left. */
const CIRCUIT_MM = 78;
const CAPTION_MM = 7;
/** What the reckoning of all else leaves at the least: seen with browsers on short and long sheets. */
const SPARE_MM = 12;
const BESIDE_LETTERS = 42;
const CHECK_MM = 4.2;
const HEADING_MM = 5.8;
const HEAD_MM = 24;
const FOOT_MM = 7;
const FINE_LETTERS = 150;
const FINE_MM = 2.9;

const STYLE = (paper: Paper) => `
@page { size: ${PAGE[paper].css}; margin: 10mm 12mm; }
* { box-sizing: border-box; }
body { font: 9pt/1.25 sans-serif; color: #000; background: #fff; width: ${PAGE[paper].widthMm}mm; margin: 0 auto; }
header { display: flex; justify-content: space-between; align-items: flex-start; }
h1 { font-size: 17pt; margin: 0; line-height: 1.1; }
h2 { font-size: 9pt; margin: 2mm 0 0.6mm; border-bottom: 0.3mm solid #000; }
p { margin: 0 0 0.6mm; } .two { display: flex; justify-content: space-between; } .two span + span { font-weight: normal; }
.verdict { display: inline-block; font-size: 15pt; font-weight: bold; border: 0.7mm solid #000; padding: 0.3mm 3mm; margin: 1mm 0; }
.pass { background: #fff; } .fail { background: #000; color: #fff; -webkit-print-color-adjust: exact; print-color-adjust: exact; }
.cannot-tell { border-style: dashed; }
.right { display: flex; gap: 3mm; } .shop { text-align: right; }
.code svg { width: 20mm; height: 20mm; display: block; margin-left: auto; }
.picture svg { width: 100%; height: auto; display: block; }
.beside { display: flex; gap: 3mm; align-items: flex-start; } .beside table { flex: 1; }
.circuit { width: ${CIRCUIT_MM}mm; flex: none; } .circuit svg { display: block; margin: 0 auto; max-width: 100%; }
table { border-collapse: collapse; width: 100%; font-size: 8pt; line-height: 1.2; }
td { padding: 0.25mm 1.5mm 0.25mm 0; vertical-align: top; border-bottom: 0.1mm solid #bbb; }
td.outcome { white-space: nowrap; } td.origin { white-space: nowrap; text-align: right; padding-right: 0; }
.bad { font-weight: bold; }
dl { display: grid; grid-template-columns: max-content 1fr; gap: 0 3mm; margin: 0; font-size: 8pt; }
dt { font-weight: bold; } dd { margin: 0; overflow-wrap: anywhere; }
.small { font-size: 6.8pt; line-height: 1.2; }
@media print { nav { display: none; } }
footer { margin-top: 1.5mm; border-top: 0.3mm solid #000; font-size: 8pt; }
${PHONE_STYLE}`;

/** @param list where the list of all runs lies from here; a sheet by itself has no way back */
export function sheetHtml(whole: Sheet, paper: Paper, list?: string): string {
  const sheet = withRoomForCircuit(
    whole,
    (briefer) => circuitThatFits(briefer, roomForChecks(briefer, paper)) !== undefined,
  );
  const { shop, tag, title, doubt, causes, picture, pictureShare = 1, facts, cautions } = sheet;
  const story = storyLines(sheet);
  const checks = tellingFirst(sheet.checks);
  const roomMm = roomForChecks(sheet, paper);
  const circuit = circuitThatFits(sheet, roomMm);
  const shown = checks.slice(
    0,
    checksThatFit(checks, Math.max(roomMm, circuit?.tallMm ?? 0), circuit !== undefined),
  );
  const more = leftOut(checks.slice(shown.length));
  return `<!doctype html>
<html lang="en">
<head><meta charset="utf-8">${VIEWPORT}<title>${escaped(`${tag}, ${sheet.runId}`)}</title><style>${STYLE(paper)}</style></head>
<body>
${list === undefined ? '' : `<nav><a href="${escaped(list)}">All runs</a></nav>\n`}<header><div>
<h1>${escaped(tag)}</h1>
<p>${escaped(title)}</p>
<div class="verdict ${sheet.verdict ?? ''}">${verdictWord(sheet)}</div>
</div><div class="right"><div class="shop">
${shop.map((line, i) => `<div${i === 0 ? ' class="bad"' : ''}>${escaped(line)}</div>`).join('\n')}
</div><div class="code">${codeSvg(sheet.code)}</div></div></header>
${reasonOf(sheet) === '' ? '' : `<p>${escaped(reasonOf(sheet))}</p>`}
${doubt === undefined ? '' : `<p class="bad">In doubt: ${escaped(doubt)}</p>`}
${causes
  .map(
    ({ chance, sentence: cause, proof, nextProbe }, i) => `${i === 0 ? `<h2>${HEADS.cause}</h2>` : ''}
<p><span class="bad">${escaped(chance)}</span> ${escaped(cause)}</p>
${i > 0 ? '' : `<p><span class="bad">${HEADS.next}:</span> ${escaped(nextProbe)}</p>`}
${i > 0 ? '' : proof.map((line) => `<p><span class="bad">${HEADS.proof}:</span> ${escaped(line)}</p>`).join('\n')}`,
  )
  .join('\n')}
${picture === undefined ? '' : `<h2>${HEADS.traces}</h2><div class="picture"${pictureShare === 1 ? '' : ` style="width:${fixed(100 * pictureShare, 0)}%;margin:0 auto"`}>${picture}</div>`}
<h2 class="two"><span>${HEADS.checks}</span><span>${HEADS.origin}</span></h2>
<div class="beside"><table><tbody>
${shown.map(row).join('\n')}
${more === '' ? '' : `<tr><td></td><td colspan="2">${escaped(more)}</td></tr>`}
</tbody></table>${circuit?.html ?? ''}</div>
<h2>${HEADS.facts}</h2>
<dl>${facts.map(([name, text]) => `<dt>${escaped(name)}</dt><dd>${escaped(text)}</dd>`).join('\n')}</dl>
${story.length === 0 ? '' : `<h2>${HEADS.story}</h2>${story.map((line) => `<p>${escaped(line)}</p>`).join('\n')}`}
<h2>${HEADS.cautions}</h2>
<p class="small">${escaped(cautions.join(' '))}</p>
<footer>${escaped(footOf(sheet))}</footer>
</body>
</html>
`;
}

function row({ outcome, sentence, origin }: SheetCheck): string {
  const isBad = outcome === 'fail' || outcome === 'conditional-fail';
  const from = origin === undefined ? '' : ORIGIN_WORDS[origin];
  return `<tr${isBad ? ' class="bad"' : ''}><td class="outcome">${OUTCOME_WORDS[outcome]}</td><td>${escaped(unbroken(sentence))}</td><td class="origin">${escaped(from)}</td></tr>`;
}

/** As large as its place allows; left out where its letters would be too small to read. */
function circuitThatFits({ circuit }: Sheet, roomMm: number): { html: string; tallMm: number } | undefined {
  if (circuit === undefined) return undefined;
  const { svg, caption } = circuit;
  const aspect = aspectOf(svg);
  const widthMm = Math.min(CIRCUIT_MM, (roomMm + SPARE_MM - CAPTION_MM) / aspect);
  const letterMm = (widthMm / widthOf(svg)) * SVG_LETTER;
  if (letterMm < LEAST_LETTER_MM) return undefined;
  const size = `style="width:${fixed(widthMm, 1)}mm;height:auto"`;
  const html = `<div class="circuit">${svg.replace(/ width="[^"]*" height="[^"]*"/, ` ${size}`)}<p class="small">${escaped(caption)}</p></div>`;
  return { html, tallMm: widthMm * aspect };
}

/** Height that is left for checks. Room is reckoned by letters, since a browser sets the lines itself. */
function roomForChecks(sheet: Sheet, paper: Paper): number {
  const { widthMm, heightMm } = PAGE[paper];
  const lines = (text: string, letters = LETTERS): number => Math.ceil(text.length / letters);
  const { causes, facts, doubt = '', cautions, picture, pictureShare = 1 } = sheet;
  const story = storyLines(sheet);
  const first = causes[0];
  const told = [
    reasonOf(sheet),
    doubt,
    ...causes.map(({ sentence }) => sentence),
    ...(first ? [first.nextProbe, ...first.proof] : []),
    ...story,
  ];
  const headings =
    3 + Math.min(1, causes.length) + Math.min(1, story.length) + (picture === undefined ? 0 : 1);
  const taken =
    HEAD_MM +
    headings * HEADING_MM +
    LINE_MM * told.reduce((sum, text) => sum + lines(text), 0) +
    CHECK_MM * facts.reduce((sum, [, text]) => sum + lines(text, CHECK_LETTERS), 0) +
    (picture === undefined ? 0 : pictureShare * widthMm * aspectOf(picture)) +
    FINE_MM * lines(cautions.join(' '), FINE_LETTERS) +
    FOOT_MM;
  // The line that counts what is left out takes room too.
  return heightMm - taken - CHECK_MM;
}

function checksThatFit(checks: readonly SheetCheck[], roomMm: number, isBeside: boolean): number {
  const letters = isBeside ? BESIDE_LETTERS : CHECK_LETTERS;
  let leftMm = roomMm;
  let count = 0;
  for (const { sentence } of checks) {
    leftMm -= CHECK_MM * Math.ceil(sentence.length / letters);
    if (leftMm < 0) break;
    count += 1;
  }
  return count;
}
