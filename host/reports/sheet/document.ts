// A PDF of any number of pages. Typefaces are embedded, since the built-in ones of PDF lack Ω and ±. The same content
// gives the same bytes.

import { createRequire } from 'node:module';
import PDFDocument from 'pdfkit';

const FACES = { plain: 'DejaVuSans.ttf', bold: 'DejaVuSans-Bold.ttf' } as const;
export type Face = keyof typeof FACES;

/** ISO 32000: a point is a 72nd of an inch. */
export const POINTS_PER_MM = 72 / 25.4;

export interface PdfTold {
  /** Of the first page; in points where it is two numbers. */
  size: 'A4' | 'LETTER' | [number, number];
  title: string;
  /** ISO 8601: of what it tells, not of when it is made. */
  at: string;
  /** Kept until the end, so that what is set last may stand on every page. */
  keepsPages?: true;
}

/** @throws Error where a typeface is not installed with the program. */
export async function pdfOf(
  { size, title, at, keepsPages }: PdfTold,
  draw: (doc: PDFKit.PDFDocument) => void,
): Promise<Buffer> {
  const find = createRequire(import.meta.url);
  const path = (face: Face): string => find.resolve(`dejavu-fonts-ttf/ttf/${FACES[face]}`);
  const date = new Date(at);
  const info = { Title: title, CreationDate: date, ModDate: date };
  const doc = new PDFDocument({
    size,
    margin: 0,
    font: path('plain'),
    info,
    bufferPages: keepsPages === true,
  });
  for (const face of ['plain', 'bold'] as const) doc.registerFont(face, path(face));
  const pieces: Buffer[] = [];
  const whole = new Promise<Buffer>((resolve, reject) => {
    doc.on('data', (piece: Buffer) => pieces.push(piece));
    doc.on('end', () => resolve(Buffer.concat(pieces)));
    doc.on('error', reject);
  });
  draw(doc);
  doc.end();
  return whole;
}

/** The place on the page gives the size; a picture's own width and height would be taken for a second one. */
export const sized = (svg: string): string => svg.replace(/(<svg [^>]*?) width="[^"]*" height="[^"]*"/, '$1');
