// Schematic text to SVG. `npx tsx firmware-protocol/schematic/draw.ts` redraws every sheet beside its text.
// Only lines and letters; what is joined to what is decided in parse.ts, where letters go in layout.ts.

import { readdirSync, readFileSync, writeFileSync } from 'node:fs';
import { dirname, join, resolve } from 'node:path';
import { fileURLToPath } from 'node:url';
import { junctions, LETTER_HEIGHT, type TextLine, textLines } from './layout.js';
import { type Mark, type Part, parseSheet, type Sheet } from './parse.js';

const PIXELS_PER_UNIT = 10;
export const FONT = "'DejaVu Sans Mono', Menlo, Consolas, 'Liberation Mono', monospace";

/** Text of one sheet to a complete SVG document. Pure. Throws where the text is wrong, with its line number. */
export function drawSchematic(text: string): string {
  const sheet = parseSheet(text);
  const width = sheet.width * PIXELS_PER_UNIT;
  const height = sheet.height * PIXELS_PER_UNIT;
  return [
    `<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 ${sheet.width} ${sheet.height}" width="${width}" height="${height}" role="img">`,
    `<title>${xml(sheet.title)}</title>`,
    `<style>.ink{fill:none;stroke:#111;stroke-width:.16;stroke-linecap:round;stroke-linejoin:round}.wire{fill:none;stroke:#14407a;stroke-width:.16;stroke-linecap:round}.solid{fill:#111;stroke:#111;stroke-width:.1;stroke-linejoin:round}.dot{fill:#14407a}.paper{fill:#fff}.frame{fill:none;stroke:#888;stroke-width:.12;stroke-dasharray:.8 .6}text{font-family:${FONT};font-size:${LETTER_HEIGHT}px;fill:#111}.bold{font-weight:bold}.title{font-size:2px;font-weight:bold}</style>`,
    `<rect class="paper" width="${sheet.width}" height="${sheet.height}"/>`,
    `<text class="title" x="2" y="3">${xml(sheet.title)}</text>`,
    ...sheet.frames.map(
      ({ from, to }) =>
        `<rect class="frame" x="${from[0]}" y="${from[1]}" width="${to[0] - from[0]}" height="${to[1] - from[1]}"/>`,
    ),
    ...wires(sheet),
    ...[...sheet.parts.values()].map(symbol),
    ...textLines(sheet).map(letters),
    '</svg>',
    '',
  ].join('\n');
}

function wires(sheet: Sheet): string[] {
  return [...sheet.nets.values()].flatMap((net) => [
    ...(net.segments.length === 0
      ? []
      : [
          `<path class="wire" d="${net.segments.map(([a, b]) => `M${a.join(' ')} L${b.join(' ')}`).join(' ')}"/>`,
        ]),
    ...junctions(sheet, net).map(([x, y]) => `<circle class="dot" cx="${x}" cy="${y}" r=".32"/>`),
    ...net.marks.map(mark),
  ]);
}

const MARKS: Record<Mark['kind'], string> = {
  gnd: 'M0 0 V.8 M-1 .8 H1 M-.6 1.2 H.6 M-.25 1.6 H.25',
  rail: 'M0 0 V-.9 M-.9 -.9 H.9',
  'flag-left': 'M0 0 L-.5 -.5 H-1.1 V.5 H-.5 Z',
  'flag-right': 'M0 0 L.5 -.5 H1.1 V.5 H.5 Z',
};

function mark({ kind, at: [x, y] }: Mark): string {
  return `<path class="ink" transform="translate(${x} ${y})" d="${MARKS[kind]}"/>`;
}

function symbol(part: Part): string {
  const turn = part.quarterTurns === 0 ? '' : ` rotate(${part.quarterTurns * 90})`;
  const flip = part.flipped ? ' scale(-1 1)' : '';
  const path = (kind: string, data: string | undefined): string =>
    data === undefined ? '' : `<path class="${kind}" d="${data}"/>`;
  const { paper, strokes, solid } = part.shape;
  return `<g transform="translate(${part.at.join(' ')})${turn}${flip}">${path('paper', paper)}${path('ink', strokes)}${path('solid', solid)}</g>`;
}

function letters({ at: [x, y], anchor, text, bold }: TextLine): string {
  const place = `x="${round(x)}" y="${round(y)}"`;
  return `<text ${bold ? 'class="bold" ' : ''}${place} text-anchor="${anchor}">${xml(text)}</text>`;
}

export const round = (value: number): number => Math.round(value * 100) / 100;

/** Text as SVG takes it. */
export function xml(text: string): string {
  return text.replaceAll('&', '&amp;').replaceAll('<', '&lt;').replaceAll('>', '&gt;');
}

const HERE = dirname(fileURLToPath(import.meta.url));

/** Every sheet of a folder: its text, and the picture that the text gives. */
export function drawFolder(
  folder: string = HERE,
): { name: string; text: string; svgPath: string; svg: string }[] {
  return readdirSync(folder)
    .filter((name) => name.endsWith('.sheet'))
    .sort()
    .map((name) => {
      const text = readFileSync(join(folder, name), 'utf8');
      try {
        return {
          name,
          text,
          svgPath: join(folder, name.replace(/\.sheet$/, '.svg')),
          svg: drawSchematic(text),
        };
      } catch (error) {
        throw new Error(`${name}, ${(error as Error).message}`, { cause: error });
      }
    });
}

if (process.argv[1] !== undefined && resolve(process.argv[1]) === fileURLToPath(import.meta.url)) {
  for (const { svgPath, svg } of drawFolder()) {
    writeFileSync(svgPath, svg);
    process.stdout.write(`${svgPath}\n`);
  }
}
