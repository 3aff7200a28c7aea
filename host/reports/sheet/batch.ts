// The sheet of a batch: a line a unit, with its verdict and its code, on as many pages as it takes.

import { visible } from '../../input/index.js';
import { setCode } from './code.js';
import { pdfOf } from './document.js';
import type { Label } from './label.js';
import type { Paper } from './sheet.js';
import { verdictWord } from './words.js';

export interface Batch {
  /** Name and address of the shop, a line each. */
  shop: readonly string[];
  title: string;
  /** ISO 8601. */
  at: string;
  /** What each unit came to: passed, failed and the like, in words. */
  summary: string;
  units: readonly Label[];
}

/** Points. */
const MARGIN = 34;
const CODE = 44;
const ROW = 50;
const FOOT = 16;
const TAG_WIDTH = 92;
const VERDICT_WIDTH = 92;

export function batchPdf(batch: Batch, paper: Paper): Promise<Buffer> {
  const size = paper === 'a4' ? 'A4' : 'LETTER';
  return pdfOf({ size, title: batch.title, at: batch.at }, (doc) => {
    const right = doc.page.width - MARGIN;
    const bottom = doc.page.height - MARGIN - FOOT;
    let page = 1;
    let y = head(doc, batch, right);
    for (const unit of batch.units) {
      if (y + ROW > bottom) {
        foot(doc, batch, page);
        doc.addPage({ size, margin: 0 });
        page += 1;
        y = MARGIN;
      }
      row(doc, unit, y, right);
      y += ROW;
    }
    foot(doc, batch, page);
  });
}

function head(doc: PDFKit.PDFDocument, { shop, title, summary }: Batch, right: number): number {
  doc.font('bold').fontSize(15).fillColor('#000000').text(visible(title), MARGIN, MARGIN, { width: 320 });
  doc
    .font('plain')
    .fontSize(9)
    .text(visible(summary), MARGIN, doc.y + 2, { width: 320 });
  const under = doc.y;
  shop.forEach((line, i) => {
    const at = MARGIN + i * 11;
    doc
      .font(i === 0 ? 'bold' : 'plain')
      .fontSize(8.6)
      .text(visible(line), right - 190, at, { width: 190, align: 'right' });
  });
  return Math.max(under, MARGIN + shop.length * 11) + 8;
}

function row(doc: PDFKit.PDFDocument, unit: Label, y: number, right: number): void {
  doc.lineWidth(0.4).moveTo(MARGIN, y).lineTo(right, y).stroke('#888888');
  setCode(doc, unit.code, { x: right - CODE, y: y + 3, side: CODE });
  doc
    .font('bold')
    .fontSize(10)
    .fillColor('#000000')
    .text(visible(unit.tag), MARGIN, y + 5, { width: TAG_WIDTH - 6 });
  const word = verdictWord(unit);
  const x = MARGIN + TAG_WIDTH;
  const wide = doc.font('bold').fontSize(9).widthOfString(word) + 8;
  doc.lineWidth(0.8).rect(x, y + 4, wide, 14);
  if (unit.verdict === 'fail') doc.fillAndStroke('#000000', '#000000');
  else if (unit.verdict === 'cannot-tell') doc.dash(3, { space: 1.5 }).stroke('#000000').undash();
  else doc.stroke('#000000');
  doc
    .fillColor(unit.verdict === 'fail' ? '#ffffff' : '#000000')
    .text(word, x + 4, y + 6, { lineBreak: false });
  const from = x + VERDICT_WIDTH;
  doc
    .font('plain')
    .fontSize(7.6)
    .fillColor('#000000')
    .text(unit.lines.map(visible).join('\n'), from, y + 5, {
      width: right - CODE - 8 - from,
      height: ROW - 8,
      ellipsis: true,
    });
}

function foot(doc: PDFKit.PDFDocument, { title }: Batch, page: number): void {
  doc
    .font('plain')
    .fontSize(7.6)
    .fillColor('#000000')
    .text(visible(`${title} · page ${page}`), MARGIN, doc.page.height - MARGIN - 8, { lineBreak: false });
}
