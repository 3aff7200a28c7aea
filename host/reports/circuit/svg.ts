// A circuit as an SVG picture that stands alone: boxes with their terminals, wires in their own colours, voltages and
// currents of one position, a faulty place marked. Colours are never all that tells: letters and dashes say the same.

import { coloursOf, type WireColour } from '../../profile/index.js';
import { escaped, n, textAt, textWidth } from '../svg.js';
import type { Box, Pin } from './drawing.js';
import { flowsOf } from './flows.js';
import type { Layout, PlacedBox, PlacedWire, Point } from './layout.js';
import {
  closedTo,
  currentWords,
  isFaultyBox,
  isFaultyPin,
  isFaultyWire,
  type Shown,
  stateWords,
  valuesAt,
} from './shown.js';
import { type Metrics, pinLines } from './sizes.js';
import { coilSymbol, contactSymbol, diodeSymbol, type Ends, partSymbol, type Strokes } from './symbols.js';

const SIZE = 12;
const LINE = 14;
const LETTER = 0.56 * SIZE;

/** @param isCompared with a second value at each pin, of a good unit, and a faulty place */
export const svgMetrics = (isCompared: boolean): Metrics => ({
  letter: LETTER,
  line: LINE,
  pad: 6,
  valueLetters: isCompared ? 8 : 6,
  valueLines: isCompared ? 2 : 1,
  faultLines: isCompared ? 1 : 0,
  wireGap: 14,
  symbol: 44,
  wordsBeside: true,
  wordLetters: 15,
  stateLetters: 9,
  badge: { width: 56, height: 30 },
  spacing: { nodes: 22, edges: 14, layers: 18, edgeLayers: 12, edgeNode: 14 },
});

/** For a small place on a page, where no wire but a faulty one has a badge. */
export const compactMetrics = (isCompared: boolean): Metrics => ({
  ...svgMetrics(isCompared),
  faultLines: 0,
  wireGap: 10,
  symbol: 28,
  wordLetters: 13,
  badge: { width: 26, height: BADGE_LINE },
  spacing: { nodes: 10, edges: 9, layers: 12, edgeLayers: 8, edgeNode: 9 },
});
const BADGE_LINE = 16;

const INK: Record<WireColour, string> = {
  BK: '#111111',
  BN: '#7a4a21',
  RD: '#d3202a',
  OG: '#f08019',
  YE: '#f6d80a',
  GN: '#1f9a3c',
  BU: '#1e5fc4',
  VT: '#7b3fa0',
  GY: '#9a9a9a',
  WH: '#ffffff',
  PK: '#f2a0bd',
  GD: '#c9a227',
  TQ: '#27b5b0',
  SR: '#c8ccd0',
};

/** For a screen in the dark; paper has no need of it. */
const DARK = `<style>@media (prefers-color-scheme: dark){.page{fill:#14171a}.body{fill:#20252a;stroke:#e8e8e8}.letters{fill:#f0f0f0}.ink{stroke:#e8e8e8}.fill{fill:#20252a;stroke:#e8e8e8}.solid{fill:#e8e8e8}.plain{stroke:#b8bec4}.flag{fill:#f0f0f0;stroke:#f0f0f0}.onflag{fill:#14171a}.quiet{fill:#aab2ba}}</style>`;

export interface SvgRequest {
  layout: Layout;
  shown: Shown;
  /** Over the picture; none within a page that tells them itself. */
  title?: string;
  subtitle?: string;
  /** Lines under the picture, wrapped already. */
  notes?: readonly string[];
  /** A page is white, whatever the screen is. */
  isForPaper?: boolean;
}

/** Around the drawing. */
export const MARGIN = 12;
const HEAD = 46;

export function circuitSvg({
  layout,
  shown,
  title,
  subtitle,
  notes = [],
  isForPaper = false,
}: SvgRequest): string {
  const head = title === undefined ? MARGIN : HEAD + MARGIN;
  const letters = Math.max(
    title === undefined ? 0 : textWidth(title, 15),
    ...[subtitle ?? '', ...notes].map((text) => textWidth(text, SIZE)),
  );
  const width = Math.ceil(Math.max(layout.width, letters) + 2 * MARGIN);
  const left = (width - layout.width) / 2;
  const foot = notes.length === 0 ? 0 : notes.length * (LINE + 2) + 8;
  const height = Math.ceil(head + layout.height + MARGIN + foot);
  const flows = flowsOf(layout.drawing, shown);
  const flowOf = ({ wire }: PlacedWire): number => flows.get(wire.id) ?? 0;
  const parts = [
    `<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 ${width} ${height}" width="${width}" height="${height}" role="img" font-family="sans-serif" font-size="${SIZE}">`,
    ...(title === undefined ? [] : [`<title>${escaped(title)}</title>`]),
    ...(isForPaper ? [] : [DARK]),
    `<rect class="page" width="${width}" height="${height}" fill="#ffffff"/>`,
    ...(title === undefined ? [] : [letterAt({ x: MARGIN, y: 24 }, title, { size: 15, isBold: true })]),
    ...(subtitle === undefined ? [] : [letterAt({ x: MARGIN, y: 42 }, subtitle)]),
    `<g transform="translate(${n(left)} ${n(head)})">`,
    ...layout.wires.map((wire) => wireLines(wire, shown, flowOf(wire))),
    ...layout.boxes.map((each) => boxDrawn(each, shown, layout.metrics)),
    ...layout.wires.map((wire) => badgeDrawn(wire, shown, flowOf(wire), layout.metrics)),
    '</g>',
    ...notes.map((text, i) =>
      letterAt({ x: MARGIN, y: head + layout.height + MARGIN + 14 + i * (LINE + 2) }, text),
    ),
    '</svg>',
  ];
  return `${parts.filter((part) => part !== '').join('\n')}\n`;
}

interface Lettering {
  size?: number;
  isBold?: boolean;
  anchor?: 'start' | 'middle' | 'end';
  className?: string;
}

/** Text that turns light on a dark screen. */
function letterAt(
  { x, y }: Point,
  text: string,
  { className = 'letters', ...style }: Lettering = {},
): string {
  const fill = className === 'onflag' ? '#ffffff' : className === 'quiet' ? '#555555' : '#111111';
  return text === ''
    ? ''
    : textAt(x, y, text, { ...style, fill }).replace('<text ', `<text class="${className}" `);
}

const pathOf = (points: readonly Point[]): string =>
  points.map(({ x, y }, i) => `${i === 0 ? 'M' : 'L'}${n(x)} ${n(y)}`).join(' ');

const WIDE = { path: 4.4, still: 2.2 };

function wireLines({ wire, points }: PlacedWire, shown: Shown, flowA: number): string {
  const d = pathOf(points);
  const wide = flowA === 0 ? WIDE.still : WIDE.path;
  const colours = wire.part === undefined ? [] : coloursOf(shown.colours[wire.part] ?? '');
  const stroke = (ink: string, width: number, more = ''): string =>
    `<path d="${d}" fill="none" stroke="${ink}" stroke-width="${n(width)}" stroke-linejoin="round"${more}/>`;
  const [base, stripe] = colours;
  const fault = isFaultyWire(shown, wire)
    ? stroke('#111111', wide + 7, ' class="ink" stroke-dasharray="3 4"')
    : '';
  if (base === undefined) return `${fault}${stroke('#4a5056', wide, ' class="plain"')}`;
  return [
    fault,
    stroke('#808080', wide + 2),
    stroke(INK[base], wide),
    stripe === undefined ? '' : stroke(INK[stripe], wide, ' stroke-dasharray="7 9"'),
  ].join('');
}

/** Smaller than its frame allows: the letters that a PDF embeds are wider than those of most screens. */
const FLOW_SIZE = 10;
const NAME_SIZE = 11;
/** Width of bold letters over plain ones. */
const BOLD = 1.2;

function badgeDrawn(
  { wire, points, badge }: PlacedWire,
  shown: Shown,
  flowA: number,
  metrics: Metrics,
): string {
  if (badge === undefined || wire.part === undefined) return '';
  const { width, height } = metrics.badge;
  const isSmall = height <= BADGE_LINE;
  const isFaulty = isFaultyWire(shown, wire);
  const middle = { x: badge.x + width / 2, y: badge.y + height / 2 };
  const flow = isSmall ? '' : currentWords(flowA, points, middle);
  const number = isSmall ? '' : shown.numbers.get(wire.part);
  const name = [`${isFaulty ? '! ' : ''}${number ?? ''}`, isSmall ? '' : (shown.colours[wire.part] ?? '')]
    .join(' ')
    .trim();
  const tall = flow === '' ? BADGE_LINE : height;
  const wide = Math.min(width, Math.max(24, BOLD * textWidth(name, NAME_SIZE) + 8, textWidth(flow, 11) + 6));
  const className = isFaulty ? 'onflag' : 'letters';
  const frame = isFaulty
    ? 'class="flag" fill="#111111" stroke="#111111"'
    : 'class="fill" fill="#ffffff" stroke="#111111"';
  return [
    `<rect ${frame} x="${n(middle.x - wide / 2)}" y="${n(middle.y - tall / 2)}" width="${n(wide)}" height="${tall}" rx="4" stroke-width="0.8"/>`,
    letterAt({ x: middle.x, y: middle.y - tall / 2 + 12 }, name, {
      size: NAME_SIZE,
      anchor: 'middle',
      isBold: true,
      className,
    }),
    letterAt({ x: middle.x, y: middle.y + tall / 2 - 4 }, flow, {
      size: FLOW_SIZE,
      anchor: 'middle',
      className,
    }),
  ].join('');
}

function boxDrawn(placed: PlacedBox, shown: Shown, metrics: Metrics): string {
  const { box, x, y } = placed;
  const drawn = box.isOrdered ? partDrawn(placed, shown, metrics) : jointDrawn(placed, shown);
  return `<g transform="translate(${n(x)} ${n(y)})">${drawn}</g>`;
}

function frame(width: number, height: number, isFaulty: boolean, radius = 5): string {
  const more = isFaulty ? 'stroke-width="4" stroke-dasharray="7 4"' : 'stroke-width="1.2"';
  return `<rect class="body" width="${n(width)}" height="${n(height)}" rx="${radius}" fill="#f7f8f9" stroke="#111111" ${more}/>`;
}

function jointDrawn({ box, bodyWidth, height, lines }: PlacedBox, shown: Shown): string {
  const values = valuesAt(shown, box.nodes[0] ?? '');
  const middle = bodyWidth / 2;
  return [
    frame(bodyWidth, height, isFaultyBox(shown, box), box.kind === 'joint' ? 12 : 0),
    ...lines.map((text, i) => letterAt({ x: middle, y: 6 + 11 + i * LINE }, text, { anchor: 'middle' })),
    ...values.map((text, i) =>
      letterAt({ x: middle, y: 6 + 11 + (lines.length + i) * LINE }, text, {
        anchor: 'middle',
        isBold: i === 0,
      }),
    ),
  ].join('');
}

function partDrawn(placed: PlacedBox, shown: Shown, metrics: Metrics): string {
  const { box, bodyWidth, height, lines, pins } = placed;
  const top = metrics.pad + pinLines(box, 'top', metrics) * LINE;
  const bottom = height - metrics.pad - pinLines(box, 'bottom', metrics) * LINE;
  const isFaulty = isFaultyBox(shown, box);
  const state = stateWords(shown, box);
  const [first = '', ...more] = lines;
  const named = isFaulty && metrics.faultLines === 0 ? [`! ${first}`, ...more] : lines;
  const flag = isFaulty && metrics.faultLines > 0 ? ['! faulty'] : [];
  const besides = [...flag, ...named, ...(state === '' ? [] : [state])];
  const from = height / 2 - (besides.length * LINE) / 2 + 11;
  return [
    frame(bodyWidth, height, isFaulty),
    ...symbolsOf(placed, shown, top, bottom).map(strokes),
    ...pins.map(({ pin, x }) => pinLetters(box, pin, x, { top, bottom }, shown)),
    ...besides.map((text, i) =>
      letterAt({ x: bodyWidth + 5, y: from + i * LINE }, text, {
        isBold: text !== state,
        ...(text === state ? { className: 'quiet' } : {}),
      }),
    ),
  ].join('');
}

function symbolsOf({ box, pins }: PlacedBox, shown: Shown, top: number, bottom: number): Strokes[] {
  const closed = closedTo(shown, box);
  const at = new Map(pins.map((each) => [each.pin.id, each.x]));
  const endsOf = (some: readonly Pin[]): Ends => ({
    ...{ top, bottom },
    pins: some.map((pin) => ({
      x: at.get(pin.id) ?? 0,
      y: pin.side === 'top' ? top : bottom,
      isUp: pin.side === 'top',
      isClosed: pin.node === closed,
    })),
  });
  const own = box.pins;
  switch (box.kind) {
    case 'relay':
      return [contactSymbol(endsOf(own.slice(0, -2))), coilSymbol(endsOf(own.slice(-2)))];
    case 'switch':
      return [contactSymbol(endsOf(own))];
    case 'diode':
    case 'clamp':
      return [
        diodeSymbol(
          endsOf(own),
          own.some(({ mark, side }) => mark === 'anode' && side === 'top'),
        ),
      ];
    default:
      return [partSymbol(box.kind, endsOf(own))];
  }
}

function strokes({ thin, thick, shapes, letters }: Strokes): string {
  const path = (d: string, width: number): string =>
    d === ''
      ? ''
      : `<path class="ink" d="${d}" fill="none" stroke="#111111" stroke-width="${width}" stroke-linecap="round"/>`;
  return [
    path(thin, 1.2),
    path(thick, 2.6),
    shapes === ''
      ? ''
      : `<path class="fill" d="${shapes}" fill="#ffffff" stroke="#111111" stroke-width="1.2"/>`,
    ...letters.map(({ x, y, text }) => letterAt({ x, y }, text, { anchor: 'middle', isBold: true })),
  ].join('');
}

/** Signs of a diode's ends are in its symbol. */
const SIGNLESS: readonly Box['kind'][] = ['diode', 'clamp'];

function pinLetters(
  box: Box,
  pin: Pin,
  x: number,
  { top, bottom }: { top: number; bottom: number },
  shown: Shown,
): string {
  const values = valuesAt(shown, pin.node);
  const mark = SIGNLESS.includes(box.kind) ? '' : pin.mark;
  const hasMarks = box.pins.some((each) => each.side === pin.side && each.mark !== '');
  // The mark lies at the frame, the values within.
  const rows =
    pin.side === 'top' ? [...(hasMarks ? [mark] : []), ...values] : [...values, ...(hasMarks ? [mark] : [])];
  const from = pin.side === 'top' ? 6 + 11 : bottom + 11;
  const ring = isFaultyPin(shown, box, pin)
    ? `<rect class="ink" x="${n(x - 26)}" y="${n(pin.side === 'top' ? 3 : bottom)}" width="52" height="${n(pin.side === 'top' ? top - 3 : rows.length * LINE + 3)}" rx="8" fill="none" stroke="#111111" stroke-width="2"/>`
    : '';
  return [
    ring,
    ...rows.map((text, i) =>
      letterAt({ x, y: from + i * LINE }, text, {
        anchor: 'middle',
        isBold: text === mark && mark !== '',
        size: text === mark ? 12 : 11,
      }),
    ),
  ].join('');
}
