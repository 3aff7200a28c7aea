// Board text to SVG, as one looks at the parts. `npx tsx firmware-protocol/boards/draw.ts` redraws every board beside its text.
// Only shapes and letters: what is joined to what is decided in check.ts, what takes which room in footprints.ts.

import { readdirSync, readFileSync, writeFileSync } from 'node:fs';
import { dirname, join, resolve } from 'node:path';
import { fileURLToPath } from 'node:url';
import { FONT, round, xml } from '../schematic/draw.js';
import { type Hole, isUpright, type Room, roomsOf } from './footprints.js';
import { type Board, type PlacedPart, parseBoard } from './parse.js';

const PIXELS_PER_HOLE = 18;
/** Fixed pitch, in heights of a letter. */
const LETTER_WIDTH = 0.61;
const LIST_HEIGHT = 0.72;
const LIST_PITCH = 1.05;
const MARGIN = 2;
const TOP = 4.4;

/**
 * Text of one board to a complete SVG document: strips grey, cuts as crosses, links as bars, wires as numbers told below,
 * and what each mark is, from `kinds` (mark to words). Pure. Throws where the text is wrong.
 */
export function drawBoard(text: string, kinds: ReadonlyMap<string, string>): string {
  const board = parseBoard(text);
  const width = board.columns + 2 * MARGIN;
  const parts = board.parts.map(part);
  const lists = [
    ...wireList(board, width),
    '',
    ...cutList(board, width),
    '',
    ...partList(board, kinds, width),
  ];
  const listTop = TOP + board.rows + 2.4;
  const height = listTop + lists.length * LIST_PITCH + 0.6;
  return [
    `<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 ${width} ${round(height)}" width="${width * PIXELS_PER_HOLE}" height="${round(height * PIXELS_PER_HOLE)}" role="img" xml:space="preserve">`,
    `<title>${xml(board.title)}</title>`,
    `<style>text{font-family:${FONT};fill:#111;white-space:pre}.name{stroke:#fff;stroke-width:.16;paint-order:stroke;stroke-linejoin:round}.strip{fill:#ddd}.hole{fill:#888}.edge{fill:#fff;stroke:#111;stroke-width:.08}.body{fill:#fff;stroke:#111;stroke-width:.07}.lead{stroke:#111;stroke-width:.1;fill:none}.link{stroke:#111;stroke-width:.22;stroke-linecap:round;fill:none}.ink{fill:#111}.cut{stroke:#111;stroke-width:.14;fill:none}.gap{fill:#fff}.number{fill:#fff;stroke:#111;stroke-width:.09}</style>`,
    `<rect fill="#fff" width="${width}" height="${round(height)}"/>`,
    letters([MARGIN - 0.6, 1.5], board.title, 1.1, 'start', true),
    letters(
      [MARGIN - 0.6, 2.6],
      `${board.columns} x ${board.rows} holes. Seen from the parts; the strips lie beneath, along the rows.`,
      LIST_HEIGHT,
      'start',
    ),
    `<g transform="translate(${MARGIN - 0.5} ${TOP - 0.5})">`,
    ...copper(board),
    ...board.links.map(link),
    ...parts.map(({ shapes }) => shapes),
    ...board.cuts.map(cut),
    ...parts.map(({ names }) => names),
    ...board.wires.map(({ at }, index) => wireEnd(at, index + 1)),
    '</g>',
    ...lists.map((line, index) =>
      line === '' ? '' : letters([MARGIN - 0.6, listTop + index * LIST_PITCH], line, LIST_HEIGHT, 'start'),
    ),
    '</svg>',
    '',
  ]
    .filter((line, index, all) => line !== '' || index === all.length - 1)
    .join('\n');
}

/** Edge, strips with their cuts, holes, and the numbers of columns and rows to count by. */
function copper({ columns, rows, cuts }: Board): string[] {
  const each = (count: number): number[] => Array.from({ length: count }, (_, index) => index + 1);
  const holes = each(rows).map((row) => `M1 ${row} H${columns + 0.01}`);
  return [
    `<rect class="edge" x=".05" y=".05" width="${columns + 0.9}" height="${rows + 0.9}"/>`,
    ...each(rows).map(
      (row) => `<rect class="strip" x=".5" y="${round(row - 0.36)}" width="${columns}" height=".72"/>`,
    ),
    `<path stroke="#777" stroke-width=".26" stroke-linecap="round" stroke-dasharray="0 1" d="${holes.join('')}"/>`,
    ...cuts.map(
      ([x, y]) => `<rect class="gap" x="${round(x - 0.4)}" y="${round(y - 0.4)}" width=".8" height=".8"/>`,
    ),
    ...each(columns)
      .filter((column) => column === 1 || column % 5 === 0)
      .map((column) => letters([column, -0.15], String(column), 0.6, 'middle')),
    ...each(rows)
      .filter((row) => row === 1 || row % 5 === 0 || row === rows)
      .flatMap((row) => [
        letters([-0.15, row + 0.2], String(row), 0.6, 'end'),
        letters([columns + 1.15, row + 0.2], String(row), 0.6, 'start'),
      ]),
  ];
}

/** A cross over whatever stands above the cut. */
const cut = ([x, y]: Hole): string =>
  `<path class="cut" d="M${round(x - 0.36)} ${round(y - 0.36)} l.72 .72 m0 -.72 l-.72 .72"/>`;

const link = (holes: readonly Hole[]): string =>
  `<path class="link" d="M${holes.map((at) => at.join(' ')).join(' L')}"/>${holes.map((at) => dot(at, 0.26)).join('')}`;

const dot = ([x, y]: Hole, radius: number): string =>
  `<circle class="ink" cx="${x}" cy="${y}" r="${radius}"/>`;

const wireEnd = ([x, y]: Hole, number: number): string =>
  `<circle class="number" cx="${x}" cy="${y}" r=".44"/>${letters([x, y + 0.2], String(number), 0.56, 'middle', true)}`;

/** Shapes go beneath the crosses of the cuts, names above them. */
interface Drawn {
  shapes: string;
  names: string;
}

const NOTHING: Drawn = { shapes: '', names: '' };

function part(placed: PlacedPart): Drawn {
  const holes = placed.pins.map(({ at }) => at);
  const [body] = roomsOf(placed.footprint, holes);
  if (body === undefined) return NOTHING;
  if (placed.footprint.leads === undefined) return rowOfPins(placed, body);
  return isUpright(placed.footprint, holes) ? standing(placed, body) : lying(placed, body);
}

/** A body between its leads; the ring of a diode at its cathode, the plus of an electrolytic. */
function lying({ ref, kind, pins, footprint }: PlacedPart, [left, top, right, bottom]: Room): Drawn {
  const [first, second] = pins;
  if (first === undefined || second === undefined) return NOTHING;
  const isRound = kind.startsWith('electrolytic');
  const along = first.at[0] === second.at[0];
  const cathode = pins.find(({ pin }) => pin.endsWith('.k'))?.at;
  const ring =
    cathode === undefined
      ? ''
      : `<rect class="ink" x="${round(left)}" width="${round(right - left)}" height=".3" y="${round(cathode[1] < (top + bottom) / 2 ? top + 0.12 : bottom - 0.42)}"/>`;
  const plus = isRound ? letters([first.at[0] + 0.55, first.at[1] + 0.2], '+', 0.9, 'middle', true) : '';
  const size = Math.min(0.68, (2 * (footprint.leads?.halfWidth ?? 0.4)) / 1.15);
  const shape = isRound
    ? `<circle class="body" cx="${(left + right) / 2}" cy="${(top + bottom) / 2}" r="${(right - left) / 2}"/>`
    : box([left, top, right, bottom]);
  const shift = cathode === undefined ? 0 : cathode[1] < (top + bottom) / 2 ? 0.2 : -0.2;
  const middle: Hole = [
    (left + right) / 2 + (isRound ? 0.5 * (footprint.leads?.halfWidth ?? 0) : 0),
    (top + bottom) / 2 + shift,
  ];
  return {
    shapes: `<path class="lead" d="M${first.at.join(' ')} L${second.at.join(' ')}"/>${shape}${ring}${plus}${dot(first.at, 0.17)}${dot(second.at, 0.17)}`,
    names: along ? upwards(middle, ref, size) : level(middle, ref, size),
  };
}

/** A body upright on its first hole, with its other lead bent down; k tells the cathode's hole. */
function standing({ ref, pins }: PlacedPart, [left, top, right]: Room): Drawn {
  const [first, second] = pins;
  if (first === undefined || second === undefined) return NOTHING;
  const radius = (right - left) / 2;
  const away = second.at[1] > first.at[1] ? 1 : -1;
  const span = Math.abs(second.at[1] - first.at[1]);
  const cathode = pins.find(({ pin }) => pin.endsWith('.k'));
  const circle = `<circle class="body" cx="${first.at[0]}" cy="${round(top + radius)}" r="${radius}"/>`;
  const wide = radius > 0.6;
  const label = wide
    ? level(first.at, ref, 0.58)
    : upwards([first.at[0], first.at[1] + (away * (radius + span)) / 2], ref, 0.56);
  const k =
    cathode === undefined ? '' : letters([cathode.at[0] + 0.42, cathode.at[1] + 0.75], 'k', 0.55, 'middle');
  return {
    shapes: `${circle}<path class="lead" d="M${first.at.join(' ')} L${second.at.join(' ')}"/>${dot(second.at, 0.17)}${wide ? circle : dot(first.at, 0.17)}`,
    names: `${label}${k}`,
  };
}

/** Transistors, adapters, chips and the microcontroller's board: pins with their names. */
function rowOfPins({ ref, pins, footprint, kind }: PlacedPart, room: Room): Drawn {
  const [left, , right] = room;
  const [first] = pins;
  if (first === undefined) return NOTHING;
  const chip = footprint.pattern !== undefined;
  const size =
    kind === 'board30'
      ? 0.56
      : kind === 'to220' && pins.some(({ pin }) => pin.length > ref.length + 2)
        ? 0.44
        : 0.52;
  const names = pins.map(({ pin, at }) => {
    const name = pin
      .slice(ref.length)
      .replace(/^\./, '')
      .replace(/^:/, '')
      .replace(/^nc\d$/, '');
    const atLeft = at[0] < (left + right) / 2;
    const y = at[1] + 0.18;
    // Within, where there is room: a cut runs down the middle of a chip.
    if (kind === 'to220') return letters([at[0] + 0.28, y], name, size, 'start');
    if (kind === 'board30')
      return letters([at[0] + (atLeft ? 0.35 : -0.35), y], name, size, atLeft ? 'start' : 'end');
    const outside = chip && !atLeft ? right + 0.1 : left - 0.1;
    return letters([outside, y], name, size, chip && !atLeft ? 'start' : 'end', false, 'name');
  });
  const middle: Hole = chip
    ? [(left + right) / 2, (room[1] + room[3]) / 2]
    : [first.at[0] - 0.45, (room[1] + room[3]) / 2];
  const label =
    kind === 'board30'
      ? letters([middle[0], room[1] + 1], `${ref} USB up`, 0.62, 'middle', true)
      : kind === 'to220'
        ? upwards(middle, ref, 0.66)
        : letters([(left + right) / 2, room[1] - 0.2], ref, 0.68, 'middle', true, 'name');
  // Seen from its print, with the pins downwards, gate or input is the left one: the tab is behind.
  const tabX = first.pin.endsWith('.s') ? left : right - 0.2;
  const tab =
    kind === 'to220'
      ? `<rect class="ink" x="${round(tabX)}" y="${round(room[1])}" width=".2" height="${round(room[3] - room[1])}"/>`
      : '';
  const notch = kind.startsWith('dip')
    ? `<path class="body" d="M${round(middle[0] - 0.4)} ${room[1]} a.4 .4 0 0 0 .8 0"/>`
    : '';
  return {
    shapes: `${box(room)}${tab}${notch}${pins.map(({ at }) => dot(at, 0.17)).join('')}`,
    names: `${names.join('')}${label}`,
  };
}

const box = ([left, top, right, bottom]: Room): string =>
  `<rect class="body" x="${round(left)}" y="${round(top)}" width="${round(right - left)}" height="${round(bottom - top)}" rx=".15"/>`;

const level = ([x, y]: Hole, text: string, size: number): string =>
  letters([x, y + 0.35 * size], text, size, 'middle', true, 'name');

/** Letters that run upwards. */
function upwards([x, y]: Hole, text: string, size: number): string {
  return `<text class="name" transform="translate(${round(x + 0.35 * size)} ${round(y)}) rotate(-90)" font-size="${round(size)}" font-weight="bold" text-anchor="middle">${xml(text)}</text>`;
}

function letters(
  [x, y]: Hole,
  text: string,
  size: number,
  anchor: 'start' | 'middle' | 'end',
  bold = false,
  kind = '',
): string {
  return `<text${kind === '' ? '' : ` class="${kind}"`} x="${round(x)}" y="${round(y)}" font-size="${round(size)}" text-anchor="${anchor}"${bold ? ' font-weight="bold"' : ''}>${xml(text)}</text>`;
}

/** Each number with its net and where the wire goes, in columns. */
function wireList({ wires }: Board, width: number): string[] {
  const items = wires.map(
    ({ net, to }, index) => `${String(index + 1).padStart(2)} ${net} to ${to.join(', ')}`,
  );
  const widest = Math.max(...items.map((item) => item.length)) + 3;
  const across = Math.max(1, Math.floor(lettersAcross(width) / widest));
  const down = Math.ceil(items.length / across);
  return [
    'Wires, by their number:',
    ...Array.from({ length: down }, (_, row) =>
      items
        .filter((_item, index) => index % down === row)
        .map((item) => item.padEnd(widest))
        .join('')
        .trimEnd(),
    ),
  ];
}

/** Cuts to count by, also those beneath a part. */
function cutList({ cuts, rows }: Board, width: number): string[] {
  const each = Array.from({ length: rows }, (_, index) => index + 1)
    .map((row) => ({ row, columns: cuts.filter(([, its]) => its === row).map(([column]) => column) }))
    .filter(({ columns }) => columns.length > 0)
    .map(({ row, columns }) => `row ${row} at ${columns.sort((a, b) => a - b).join(', ')}`);
  return folded(`${cuts.length} cuts: ${each.join('; ')}.`, lettersAcross(width));
}

const lettersAcross = (width: number): number => Math.floor((width - 2) / (LIST_HEIGHT * LETTER_WIDTH));

/** What each mark is, what is alike together. */
function partList({ parts }: Board, kinds: ReadonlyMap<string, string>, width: number): string[] {
  const marks = new Map<string, string[]>();
  for (const { ref } of parts) {
    const kind = kinds.get(ref) ?? kinds.get('C20') ?? '';
    marks.set(kind, [...(marks.get(kind) ?? []), ref]);
  }
  const most = lettersAcross(width);
  return ['Parts:', ...[...marks].flatMap(([kind, refs]) => folded(`${refs.join(' ')}: ${kind}`, most))];
}

/** A line in pieces that fit, what follows set in. */
function folded(line: string, most: number): string[] {
  const lines: string[] = [];
  for (const word of line.split(' ')) {
    const last = lines.at(-1);
    if (last === undefined) lines.push(word);
    else if (last.length + 1 + word.length <= most) lines[lines.length - 1] = `${last} ${word}`;
    else lines.push(`   ${word}`);
  }
  return lines;
}

/** Mark to what it is, from parts.csv; what a row says of further pieces left out. */
export function kindsOf(partsCsv: string): Map<string, string> {
  const kinds = new Map<string, string>();
  for (const line of partsCsv.trim().split(/\r?\n/).slice(1)) {
    const [mark = '', part = ''] = [...line.matchAll(/"((?:[^"]|"")*)"|([^,]+)/g)].map(
      (match) => match[1] ?? match[2] ?? '',
    );
    kinds.set(mark, part.split(/; \d+ more|; may be/)[0] ?? part);
  }
  return kinds;
}

const HERE = dirname(fileURLToPath(import.meta.url));

/** Every board of a folder: its name as other boards call it, its text, and the picture that the text gives. */
export function drawBoards(
  folder: string = HERE,
): { name: string; text: string; svgPath: string; svg: string }[] {
  const kinds = kindsOf(readFileSync(join(folder, '..', 'parts.csv'), 'utf8'));
  return readdirSync(folder)
    .filter((file) => file.endsWith('.board'))
    .sort()
    .map((file) => {
      const text = readFileSync(join(folder, file), 'utf8');
      try {
        return {
          name: file.replace(/^\d-|\.board$/g, ''),
          text,
          svgPath: join(folder, file.replace(/\.board$/, '.svg')),
          svg: drawBoard(text, kinds),
        };
      } catch (error) {
        throw new Error(`${file}, ${(error as Error).message}`, { cause: error });
      }
    });
}

if (process.argv[1] !== undefined && resolve(process.argv[1]) === fileURLToPath(import.meta.url)) {
  for (const { svgPath, svg } of drawBoards()) {
    writeFileSync(svgPath, svg);
    process.stdout.write(`${svgPath}\n`);
  }
}
