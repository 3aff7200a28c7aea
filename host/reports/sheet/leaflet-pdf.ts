// A paper of several pages as PDF, typefaces embedded; the same paper gives the same bytes.

import SVGtoPDF from 'svg-to-pdfkit';
import { visible } from '../../input/index.js';
import { sizeOf } from '../svg.js';
import { type Face, pdfOf, sized } from './document.js';
import type { Block, Leaflet } from './leaflet.js';
import { type Piece, piecesOf } from './picture-pieces.js';
import type { Paper } from './sheet.js';
import { unbroken } from './words.js';

/** Points. */
const MARGIN = 34;
const FOOT = 16;
const SIZE = 8.6;
const SMALL = 7.6;
const FINE = 6.8;
const GAP = 4;
const HEADING = 17;
const CAPTION = 10;

/** @param at wall clock that the file says it was made at, ISO 8601 */
export function leafletPdf(leaflet: Leaflet, paper: Paper, at: string): Promise<Buffer> {
  const size = paper === 'a4' ? 'A4' : 'LETTER';
  return pdfOf({ size, title: leaflet.title, at, keepsPages: true }, (doc) => new Pages(doc).set(leaflet));
}

const heightOf = (piece: Piece | undefined): number =>
  piece === undefined ? 0 : piece.scale * piece.height + (piece.caption === '' ? 0 : CAPTION);

interface Style {
  size?: number;
  face?: Face;
}

/** Sets from the top down; what does not fit goes onto the next page, a heading with what follows it. */
class Pages {
  readonly #width: number;
  readonly #bottom: number;
  #y = MARGIN;

  constructor(private readonly doc: PDFKit.PDFDocument) {
    this.#width = doc.page.width - 2 * MARGIN;
    this.#bottom = doc.page.height - MARGIN - FOOT;
  }

  set({ title, subtitle, shop, blocks, foot }: Leaflet): void {
    const left = shop.every((line) => line === '') ? this.#width : this.#width - 180;
    shop.forEach((line, i) => {
      this.#put(line, MARGIN + left, MARGIN + i * 11, 180, { face: i === 0 ? 'bold' : 'plain' }, 'right');
    });
    this.#y += this.#put(title, MARGIN, this.#y, left, { size: 16, face: 'bold' });
    this.#y += this.#put(subtitle, MARGIN, this.#y, left, {});
    blocks.forEach((block, i) => {
      this.#block(block, blocks[i + 1]);
    });
    const { start, count } = this.doc.bufferedPageRange();
    for (let i = start; i < start + count; i++) {
      this.doc.switchToPage(i);
      const text = count > 1 ? `${foot} · page ${i + 1} of ${count}` : foot;
      this.#put(text, MARGIN, this.#bottom + 5, this.#width, { size: SMALL });
    }
  }

  #block(block: Block, next?: Block): void {
    switch (block.kind) {
      case 'heading': {
        // With the picture, or two lines of what it heads.
        this.#room(GAP + 13 + (next?.kind === 'picture' ? heightOf(this.#pieces(next)[0]) : 24));
        this.#y += GAP;
        this.#put(block.text, MARGIN, this.#y, this.#width, { face: 'bold' });
        this.#line(this.#y + 11, 0.7);
        this.#y += 13;
        return;
      }
      case 'text': {
        const style: Style = { size: block.isFine ? FINE : SIZE, face: block.isBold ? 'bold' : 'plain' };
        this.#room(this.#height(block.text, this.#width, style));
        this.#y += this.#put(block.text, MARGIN, this.#y, this.#width, style) + 1;
        return;
      }
      case 'table': {
        const [first] = block.rows;
        // A head stays with its first row.
        if (block.head.length > 0 && first !== undefined)
          this.#room(
            this.#rowHeight(block.head, block.widths, FINE) + this.#rowHeight(first, block.widths, SMALL),
          );
        if (block.head.length > 0) this.#row(block.head, block.widths, FINE);
        for (const row of block.rows) this.#row(row, block.widths, SMALL);
        return;
      }
      case 'picture':
        for (const piece of this.#pieces(block)) this.#picture(block.svg, piece);
    }
  }

  #pieces({ svg, mostOfPage, breaks = [] }: Extract<Block, { kind: 'picture' }>): Piece[] {
    const page = { width: this.#width, height: this.#bottom - MARGIN - HEADING };
    return piecesOf({ ...sizeOf(svg), mostOfPage, breaks }, page);
  }

  #picture(svg: string, { x, y, width, height, scale, caption }: Piece): void {
    const whole = sizeOf(svg);
    this.#room(scale * height + (caption === '' ? 0 : CAPTION));
    const left = MARGIN + (this.#width - scale * width) / 2;
    this.doc.save();
    this.doc.rect(left, this.#y, scale * width, scale * height).clip();
    SVGtoPDF(this.doc, sized(svg), left - scale * x, this.#y - scale * y, {
      ...{ width: scale * whole.width, height: scale * whole.height, assumePt: true },
      fontCallback: (_family, bold) => (bold ? 'bold' : 'plain'),
    });
    this.doc.restore();
    this.#y += scale * height + 2;
    if (caption !== '') this.#y += this.#put(caption, MARGIN, this.#y, this.#width, { size: FINE });
  }

  #cells(row: readonly string[], widths: readonly number[]): { text: string; x: number; width: number }[] {
    const whole = widths.reduce((sum, each) => sum + each, 0);
    let x = MARGIN;
    return row.map((text, i) => {
      const isLast = i === row.length - 1;
      const width = isLast ? MARGIN + this.#width - x : ((widths[i] ?? 0) / whole) * this.#width;
      const cell = { text, x, width: width - 5 };
      x += width;
      return cell;
    });
  }

  #rowHeight(row: readonly string[], widths: readonly number[], size: number): number {
    const cells = this.#cells(row, widths);
    return Math.max(...cells.map(({ text, width }) => this.#height(text, width, { size }))) + 3;
  }

  #row(row: readonly string[], widths: readonly number[], size: number): void {
    const cells = this.#cells(row, widths);
    const height = this.#rowHeight(row, widths, size) - 3;
    this.#room(height + 3);
    for (const { text, x: at, width } of cells) this.#put(text, at, this.#y, width, { size });
    this.#y += height + 1.5;
    this.#line(this.#y, 0.3);
    this.#y += 1.5;
  }

  #room(height: number): void {
    if (this.#y + height <= this.#bottom) return;
    this.doc.addPage();
    this.#y = MARGIN;
  }

  #line(y: number, width: number): void {
    this.doc
      .lineWidth(width)
      .moveTo(MARGIN, y)
      .lineTo(MARGIN + this.#width, y)
      .stroke('#000000');
  }

  #height(text: string, width: number, { size = SIZE, face = 'plain' }: Style): number {
    return this.doc
      .font(face)
      .fontSize(size)
      .heightOfString(unbroken(visible(text)), { width });
  }

  /** The height that it took. */
  #put(text: string, x: number, y: number, width: number, style: Style, align?: 'right'): number {
    const height = this.#height(text, width, style);
    const options = { width, lineBreak: true, ...(align === undefined ? {} : { align }) };
    this.doc.fillColor('#000000').text(unbroken(visible(text)), x, y, options);
    return height;
  }
}
