// The sheet of a run as a PDF of one page. Typefaces are embedded, since the built-in ones of PDF lack Ω and ±. The same
// record gives the same bytes.

import SVGtoPDF from 'svg-to-pdfkit';
import { visible } from '../../input/index.js';
import { ORIGIN_WORDS, OUTCOME_WORDS } from '../../tell/index.js';
import { aspectOf, widthOf } from '../svg.js';
import { storyLines, withRoomForCircuit } from './briefer.js';
import { setCode } from './code.js';
import { type Face, pdfOf, sized } from './document.js';
import { LEAST_LETTER_MM, type Paper, reasonOf, type Sheet, SVG_LETTER, tellingFirst } from './sheet.js';
import { footOf, HEADS, leftOut, unbroken, verdictWord } from './words.js';

/** Points. */
const MARGIN = 34;
const CODE = 60;
const SIZE = 8.6;
const SMALL = 7.6;
const FINE = 6.4;
const FOOT = 14;
const OUTCOME_WIDTH = 74;
const ORIGIN_WIDTH = 92;
/** Outcome and origin with a circuit beside them, and its own column. */
const NARROW = [58, 74] as const;
const CIRCUIT = 222;
const NO_CIRCUIT = { beside: 0, endY: 0 };

/** @throws Error where a typeface is not installed with the program. */
export const sheetPdf = (sheet: Sheet, paper: Paper): Promise<Buffer> =>
  pdfOf(
    { size: paper === 'a4' ? 'A4' : 'LETTER', title: `${sheet.tag}, ${sheet.runId}`, at: sheet.at },
    (doc) => new Page(doc).set(sheet),
  );

/** Sets from the top down; what is under the checks is measured first, so that they take the room that is left. */
class Page {
  readonly #width: number;
  #y = MARGIN;

  constructor(private readonly doc: PDFKit.PDFDocument) {
    this.#width = doc.page.width - 2 * MARGIN;
  }

  set(sheet: Sheet): void {
    this.#head(sheet);
    const fitting = withRoomForCircuit(sheet, (briefer) => this.#hasRoom(briefer));
    this.#causes(fitting);
    this.#picture(fitting);
    this.#checks(fitting, this.#bottom(fitting));
    this.#foot(fitting, true);
    this.#text(footOf(sheet), { x: MARGIN, y: this.doc.page.height - MARGIN - FOOT + 4, size: SMALL });
  }

  /** Where the checks must end. */
  #bottom(sheet: Sheet): number {
    return this.doc.page.height - MARGIN - FOOT - this.#foot(sheet, false);
  }

  /** Whether the circuit fits beside the checks, were all else set from here on. */
  #hasRoom(sheet: Sheet): boolean {
    const from = this.#y;
    this.#causes(sheet, false);
    this.#picture(sheet, false);
    this.#heading(HEADS.checks, HEADS.origin, false);
    const { beside } = this.#circuit(sheet, this.#bottom(sheet), false);
    this.#y = from;
    return beside > 0;
  }

  #head(sheet: Sheet): void {
    const { shop, tag, title, verdict, doubt, code } = sheet;
    const right = MARGIN + this.#width - CODE;
    const shopWidth = 190;
    setCode(this.doc, code, { x: right, y: MARGIN, side: CODE });
    shop.forEach((line, i) => {
      const at = { x: right - shopWidth - 8, y: MARGIN + i * 11, width: shopWidth };
      this.#text(line, { ...at, align: 'right', face: i === 0 ? 'bold' : 'plain' });
    });
    const left = this.#width - CODE - shopWidth - 16;
    this.#flow(tag, { size: 16, face: 'bold', width: left });
    this.#flow(title, { width: left });
    const word = verdictWord(sheet);
    this.doc.font('bold').fontSize(14);
    const box = { width: this.doc.widthOfString(word) + 18, height: 20 };
    this.doc.lineWidth(1.6).rect(MARGIN, this.#y + 2, box.width, box.height);
    if (verdict === 'fail') this.doc.fillAndStroke('#000000', '#000000');
    else if (verdict === 'cannot-tell') this.doc.dash(4, { space: 2 }).stroke('#000000').undash();
    else this.doc.stroke('#000000');
    const ink = verdict === 'fail' ? '#ffffff' : '#000000';
    this.#text(word, { x: MARGIN + 9, y: this.#y + 4, size: 14, face: 'bold', ink });
    this.#y = Math.max(this.#y + box.height + 6, MARGIN + CODE + 4);
    if (reasonOf(sheet) !== '') this.#flow(reasonOf(sheet));
    if (doubt !== undefined) this.#flow(`In doubt: ${doubt}`, { face: 'bold' });
  }

  #causes({ causes }: Sheet, isSet = true): void {
    const [first, ...others] = causes;
    if (first === undefined) return;
    this.#heading(HEADS.cause, '', isSet);
    this.#flow(`${first.chance}  ${first.sentence}`, { face: 'bold' }, isSet);
    this.#flow(`${HEADS.next}: ${first.nextProbe}`, {}, isSet);
    for (const line of first.proof) this.#flow(`${HEADS.proof}: ${line}`, {}, isSet);
    for (const { chance, sentence } of others) this.#flow(`${chance}  ${sentence}`, { size: SMALL }, isSet);
  }

  #picture({ picture, pictureShare = 1 }: Sheet, isSet = true): void {
    if (picture === undefined) return;
    this.#heading(HEADS.traces, '', isSet);
    const width = pictureShare * this.#width;
    const tall = width * aspectOf(picture);
    if (isSet)
      SVGtoPDF(this.doc, sized(picture), MARGIN + (this.#width - width) / 2, this.#y, {
        ...{ width, height: tall, assumePt: true },
        fontCallback: (_family, bold) => (bold ? 'bold' : 'plain'),
      });
    this.#y += tall + 2;
  }

  /** The circuit at the right of the checks: its width and where it ends; both 0 where its letters would be too small to read. */
  #circuit({ circuit }: Sheet, bottom: number, isSet = true): { beside: number; endY: number } {
    if (circuit === undefined) return NO_CIRCUIT;
    const { svg, caption } = circuit;
    const captionStyle = { size: FINE, width: CIRCUIT };
    const captionTall = this.#height(caption, captionStyle);
    const room = bottom - this.#y - captionTall - 4;
    const width = Math.min(CIRCUIT, room / aspectOf(svg));
    if ((width / widthOf(svg)) * SVG_LETTER < (LEAST_LETTER_MM * 72) / 25.4) return NO_CIRCUIT;
    const left = MARGIN + this.#width - CIRCUIT;
    const tall = width * aspectOf(svg);
    const captionY = this.#y + tall + 3;
    const place = { beside: CIRCUIT + 8, endY: captionY + captionTall };
    if (!isSet) return place;
    SVGtoPDF(this.doc, sized(svg), left + (CIRCUIT - width) / 2, this.#y + 2, {
      ...{ width, height: tall, assumePt: true },
      fontCallback: (_family, bold) => (bold ? 'bold' : 'plain'),
    });
    this.#text(caption, { ...captionStyle, x: left, y: captionY });
    return place;
  }

  #checks(sheet: Sheet, bottom: number): void {
    const checks = tellingFirst(sheet.checks);
    this.#heading(HEADS.checks, HEADS.origin);
    const { beside, endY } = this.#circuit(sheet, bottom);
    const [outcomeWidth, originWidth] = beside > 0 ? NARROW : [OUTCOME_WIDTH, ORIGIN_WIDTH];
    const middle = this.#width - beside - outcomeWidth - originWidth;
    for (const [i, { outcome, sentence, origin }] of checks.entries()) {
      const face: Face = outcome === 'fail' || outcome === 'conditional-fail' ? 'bold' : 'plain';
      const height = this.#height(sentence, { size: SMALL, face, width: middle - 6 }) + 1;
      const isLast = i === checks.length - 1;
      // Room for the line that counts what is left out.
      if (this.#y + height + (isLast ? 0 : 11) > bottom) {
        const width = middle + originWidth;
        this.#flow(leftOut(checks.slice(i)), { size: SMALL, x: MARGIN + outcomeWidth, width });
        break;
      }
      const style = { y: this.#y, size: SMALL, face };
      this.#text(OUTCOME_WORDS[outcome], { ...style, x: MARGIN, width: outcomeWidth });
      this.#text(sentence, { ...style, x: MARGIN + outcomeWidth, width: middle - 6 });
      const from = origin === undefined ? '' : ORIGIN_WORDS[origin];
      const right = MARGIN + this.#width - beside - originWidth;
      this.#text(from, { ...style, face: 'plain', x: right, width: originWidth, align: 'right' });
      this.#y += height;
    }
    this.#y = Math.max(this.#y, endY);
  }

  /** Facts, story and cautions; their height alone where `isSet` is false. */
  #foot({ facts, cautions, ...sheet }: Sheet, isSet: boolean): number {
    const from = this.#y;
    const story = storyLines(sheet);
    const wide = this.#width - OUTCOME_WIDTH;
    this.#heading(HEADS.facts, '', isSet);
    for (const [name, text] of facts) {
      const style = { y: this.#y, size: SMALL };
      if (isSet) this.#text(name, { ...style, x: MARGIN, face: 'bold' });
      this.#flow(text, { size: SMALL, x: MARGIN + OUTCOME_WIDTH, width: wide }, isSet);
    }
    if (story.length > 0) this.#heading(HEADS.story, '', isSet);
    for (const line of story) this.#flow(line, { size: SMALL }, isSet);
    this.#heading(HEADS.cautions, '', isSet);
    this.#flow(cautions.join(' '), { size: FINE }, isSet);
    const height = this.#y - from;
    if (!isSet) this.#y = from;
    return height;
  }

  #heading(text: string, behind = '', isSet = true): void {
    this.#y += 4;
    if (isSet) {
      this.#text(text, { x: MARGIN, y: this.#y, size: SIZE, face: 'bold' });
      const at = { x: MARGIN, y: this.#y, width: this.#width };
      if (behind !== '') this.#text(behind, { ...at, size: SMALL, align: 'right' });
      const line = this.#y + 11;
      this.doc
        .lineWidth(0.7)
        .moveTo(MARGIN, line)
        .lineTo(MARGIN + this.#width, line)
        .stroke('#000000');
    }
    this.#y += 13;
  }

  /** Text under what was set last. */
  #flow(text: string, style: Omit<TextStyle, 'y' | 'x'> & { x?: number } = {}, isSet = true): void {
    const { x = MARGIN } = style;
    const full = { ...style, x, width: style.width ?? MARGIN + this.#width - x };
    if (isSet) this.#text(text, { ...full, y: this.#y });
    this.#y += this.#height(text, full) + 1;
  }

  #height(text: string, { size = SIZE, face = 'plain', width }: Omit<TextStyle, 'x' | 'y'>): number {
    this.doc.font(face).fontSize(size);
    return this.doc.heightOfString(unbroken(visible(text)), width === undefined ? {} : { width });
  }

  #text(text: string, { x, y, size = SIZE, face = 'plain', ink = '#000000', width, align }: TextStyle): void {
    const options = {
      ...(width === undefined ? { lineBreak: false } : { width }),
      ...(align ? { align } : {}),
    };
    this.doc
      .font(face)
      .fontSize(size)
      .fillColor(ink)
      .text(unbroken(visible(text)), x, y, options);
  }
}

interface TextStyle {
  x: number;
  y: number;
  size?: number;
  face?: Face;
  ink?: string;
  width?: number;
  align?: 'right';
}
