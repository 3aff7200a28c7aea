// Labels for tested units, a page each, in any size: tag, verdict, day, and the code that finds the record again.

import { visible } from '../../input/index.js';
import { modulesOf, setCode } from './code.js';
import { type Face, POINTS_PER_MM, pdfOf } from './document.js';
import type { Sheet } from './sheet.js';
import { verdictWord } from './words.js';

export interface Label extends Pick<Sheet, 'tag' | 'verdict' | 'runId' | 'anchor' | 'at' | 'code'> {
  /** Lines under the verdict, the most telling first; those that find no room are left out. */
  lines: readonly string[];
}

export interface LabelSize {
  widthMm: number;
  heightMm: number;
}

export const USUAL_LABEL: LabelSize = { widthMm: 60, heightMm: 30 };

/** Label printers of 203 dots an inch set a module of two dots; smaller ones a phone reads badly (common practice). */
const LEAST_MODULE_MM = 0.25;
const MARGIN_MM = 1.5;
/** What the code may take of the width. */
const MOST_CODE = 0.5;

/** Side of the code, quiet zone and all; undefined where it would be too fine to be read. */
export function codeSideMm({ widthMm, heightMm }: LabelSize, code: string): number | undefined {
  const side = Math.min(heightMm - 2 * MARGIN_MM, MOST_CODE * widthMm);
  return side / modulesOf(code) < LEAST_MODULE_MM ? undefined : side;
}

/** @throws RangeError for a size that has no room for a code; ask `codeSideMm` first. */
export function labelsPdf(labels: readonly Label[], size: LabelSize): Promise<Buffer> {
  const page: [number, number] = [size.widthMm * POINTS_PER_MM, size.heightMm * POINTS_PER_MM];
  const [first] = labels;
  const title = labels.length === 1 ? `${first?.tag}, ${first?.runId}` : `${labels.length} labels`;
  return pdfOf({ size: page, title, at: first?.at ?? '' }, (doc) => {
    for (const [i, label] of labels.entries()) {
      if (i > 0) doc.addPage({ size: page, margin: 0 });
      setLabel(doc, label, size);
    }
  });
}

function setLabel(doc: PDFKit.PDFDocument, label: Label, size: LabelSize): void {
  const sideMm = codeSideMm(size, label.code);
  if (sideMm === undefined)
    throw new RangeError(`no room for a code on ${size.widthMm} × ${size.heightMm} mm`);
  const margin = MARGIN_MM * POINTS_PER_MM;
  const side = sideMm * POINTS_PER_MM;
  const { width, height } = doc.page;
  setCode(doc, label.code, { x: width - margin - side, y: (height - side) / 2, side });
  const room = width - 2 * margin - side;
  const inner = height - 2 * margin;
  let y = margin;
  const line = (text: string, share: number, face: Face, least: number): boolean => {
    const fitting = fittingSize(doc, text, { face, most: inner * share, least, width: room });
    const tall = doc.font(face).fontSize(fitting).currentLineHeight(true);
    if (y + tall > height - margin + 0.5) return false;
    doc.fillColor('#000000').text(clipped(doc, visible(text), room), margin, y, { lineBreak: false });
    y += tall;
    return true;
  };
  line(label.tag, 0.3, 'bold', 4);
  y += verdictBox(doc, label, { x: margin, y, width: room, most: inner * 0.24 });
  for (const text of label.lines) if (!line(text, 0.12, 'plain', 3)) return;
}

/** Black on white but for a fail, dashed where it cannot be told: as on the sheet. Returns the height taken. */
function verdictBox(
  doc: PDFKit.PDFDocument,
  label: Label,
  { x, y, width, most }: { x: number; y: number; width: number; most: number },
): number {
  const word = verdictWord(label);
  const size = fittingSize(doc, word, { face: 'bold', most: most * 0.75, least: 2, width: width - 4 });
  const tall = doc.font('bold').fontSize(size).currentLineHeight(true);
  const box = { width: Math.min(width, doc.widthOfString(word) + 4), height: tall + 1 };
  doc.lineWidth(0.8).rect(x + 0.4, y, box.width - 0.8, box.height);
  if (label.verdict === 'fail') doc.fillAndStroke('#000000', '#000000');
  else if (label.verdict === 'cannot-tell') doc.dash(2, { space: 1 }).stroke('#000000').undash();
  else doc.stroke('#000000');
  doc
    .fillColor(label.verdict === 'fail' ? '#ffffff' : '#000000')
    .text(word, x + 2, y + 1, { lineBreak: false });
  return box.height + 1;
}

/** The largest size up to `most` at which a text fits the width; `least` where none does. Points. */
function fittingSize(
  doc: PDFKit.PDFDocument,
  text: string,
  { face, most, least, width }: { face: Face; most: number; least: number; width: number },
): number {
  const atOne = doc.font(face).fontSize(10).widthOfString(visible(text)) / 10;
  return Math.max(least, Math.min(most, width / Math.max(atOne, 1e-6)));
}

function clipped(doc: PDFKit.PDFDocument, text: string, width: number): string {
  let shown = text;
  while (shown.length > 1 && doc.widthOfString(shown === text ? shown : `${shown}…`) > width + 0.1)
    shown = shown.slice(0, -1);
  return shown === text ? text : `${shown}…`;
}
