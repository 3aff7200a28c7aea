// A capture as an SVG picture, with the expected band behind each trace: currents, lead voltages, coil current; under
// them time, throw and feed; below, where asked for, short stretches enlarged.
// Stands alone (no style sheet, no script), prints in black on white; dashes repeat what colour says.

import type { Capture } from '../capture/index.js';
import { type Detail, drawDetails } from './details.js';
import { type Labels, PANELS, panelHead, panelOf } from './panels.js';
import { type Box, type ChartBand, drawPlot, timeAxis, timeScale } from './plot.js';
import { type Stretch, stretchesOf, stretchStrips, type ThrowWords } from './stretches.js';
import { escaped, n, textAt } from './svg.js';

export interface ChartRequest {
  capture: Pick<Capture, 'timeS' | 'position' | 'channels' | 'feed' | 'positionKnown'>;
  band?: ChartBand | undefined;
  title: string;
  /** Conditions under the title: what was simulated or measured, how. */
  subtitle?: string;
  /** Enlarged under the whole, in this order. */
  details?: readonly Detail[];
  labels?: Labels;
  words?: ThrowWords;
  /** For a page that tells title and conditions itself: low panels, no heading. */
  isWithinPage?: boolean;
  /** Lower still, where the page has another picture under it. */
  isLow?: boolean;
}

const WIDTH = 960;
const LEFT = 64;
const RIGHT = 16;
const TOP = 72;
const PANEL_GAP = 30;
/** Of a picture that stands alone, and of one within a page. */
const ALONE = { top: TOP, panelHeight: 170 };
const WITHIN_PAGE = { top: 24, panelHeight: 84 };
const LOW = { top: 24, panelHeight: 60 };
const POSITION_FILL = { forward: '#eef4fa', reverse: '#faf1ee' } as const;

/** Panels whose channels the capture lacks are left out. NaN samples break the line. */
export function chartSvg(request: ChartRequest): string {
  const {
    capture,
    band,
    title,
    subtitle,
    details = [],
    labels,
    words,
    isWithinPage = false,
    isLow,
  } = request;
  const size = isWithinPage ? (isLow ? LOW : WITHIN_PAGE) : ALONE;
  const panels = PANELS.flatMap((name) => panelOf(name, capture, labels));
  const fromS = capture.timeS[0] ?? 0;
  const toS = Math.max(capture.timeS.at(-1) ?? 1, fromS + 1e-6);
  const boxAt = (top: number): Box => ({
    ...{ left: LEFT, top, width: WIDTH - LEFT - RIGHT, height: size.panelHeight },
    ...{ fromS, toS },
  });
  const boxes = panels.map((_, i) => boxAt(size.top + i * (size.panelHeight + PANEL_GAP)));
  const last = boxes.at(-1) ?? boxAt(size.top - size.panelHeight);
  const bottom = last.top + last.height;
  const stretches = stretchesOf(capture);
  const x = timeScale(last);
  const marks = details.map(({ letter, zeroS }) => ({ text: letter, atS: zeroS }));
  const strips = stretchStrips(
    { stretches, words, marks },
    { x, left: LEFT, right: WIDTH - RIGHT, top: bottom + 40 },
  );
  const whole = bottom + 40 + (stretches.length === 0 ? 0 : strips.height);
  const below = drawDetails({ capture, labels, details }, { left: 0, top: whole + 12, width: WIDTH });
  const height = Math.ceil(whole + 8 + below.height);
  const parts = [
    `<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 ${WIDTH} ${height}" width="${WIDTH}" height="${height}" role="img" font-family="sans-serif" font-size="12">`,
    `<title>${escaped(title)}</title>`,
    `<rect width="${WIDTH}" height="${height}" fill="#ffffff"/>`,
    ...(isWithinPage ? [] : [textAt(LEFT, 22, title, { size: 16, isBold: true })]),
    ...(subtitle === undefined || isWithinPage ? [] : [textAt(LEFT, 40, subtitle, { fill: '#444444' })]),
    ...panels.flatMap((panel, i) => {
      const box = boxes[i] ?? last;
      const clipsKicks = panel.title === 'Voltage to ground';
      return [
        '<g>',
        ...positionFields(stretches, box),
        ...panelHead(panel, LEFT, box.top),
        ...drawPlot({
          box,
          timeS: capture.timeS,
          lines: panel.lines,
          band,
          clipsKicks,
          leastSpan: panel.leastSpan,
        }),
        '</g>',
      ];
    }),
    ...timeAxis(last, { about: 8 }),
    textAt(LEFT + last.width / 2, bottom + 32, 'time, s', { anchor: 'middle', isBold: true }),
    ...(stretches.length === 0 ? [] : strips.parts),
    ...below.parts,
    '</svg>',
  ];
  return `${parts.join('\n')}\n`;
}

/** The stretches thrown, shaded. */
function positionFields(stretches: readonly Stretch[], box: Box): string[] {
  const x = timeScale(box);
  return stretches.flatMap(({ position, fromS, toS }) =>
    position === 'rest'
      ? []
      : [
          `<rect x="${n(x(fromS))}" y="${n(box.top)}" width="${n(x(toS) - x(fromS))}" height="${box.height}" fill="${POSITION_FILL[position]}"/>`,
        ],
  );
}
