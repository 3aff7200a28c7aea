// Short stretches of a run enlarged: a start, a release, the edges of the contacts. Each is a pair of small plots over
// milliseconds from the command.

import type { Capture } from '../capture/index.js';
import { type Labels, type PanelTitle, panelOf } from './panels.js';
import { type Box, drawPlot, timeAxis, timeScale } from './plot.js';
import { n, textAt, textWidth } from './svg.js';

/** An instant that was measured, told within a detail. */
export interface DetailMark {
  atS: number;
  text: string;
}

export interface Detail {
  /** By which the whole points to it. */
  letter: string;
  title: string;
  /** The command that times are told from. */
  zeroS: number;
  fromS: number;
  toS: number;
  panels: readonly PanelTitle[];
  /** Small differences are what is looked for: the scale need not hold zero. */
  isTight?: boolean;
  marks?: readonly DetailMark[];
}

interface DetailsRequest {
  capture: Pick<Capture, 'timeS' | 'channels'>;
  labels: Labels | undefined;
  details: readonly Detail[];
}

const MOST_IN_A_ROW = 4;
const AXIS = 42;
const GAP = 20;
const PLOT_HEIGHT = 100;
const HEAD = 34;
const FOOT = 36;
const MARK_SIZE = 10;

export function drawDetails(
  { capture, labels, details }: DetailsRequest,
  { left, top, width }: { left: number; top: number; width: number },
): { parts: string[]; height: number } {
  if (details.length === 0) return { parts: [], height: 0 };
  const inRow = Math.min(MOST_IN_A_ROW, details.length);
  const cell = (width - 8) / inRow;
  const rows = details.map(({ panels }) => panels.length);
  const rowHeight = HEAD + Math.max(...rows) * (PLOT_HEIGHT + GAP) + FOOT;
  const parts = details.flatMap((detail, i) => {
    const at = { left: left + (i % inRow) * cell, top: top + Math.floor(i / inRow) * rowHeight };
    return drawDetail({ capture, labels, details }, detail, { ...at, width: cell });
  });
  return { parts, height: rowHeight * Math.ceil(details.length / inRow) };
}

function drawDetail(
  { capture, labels }: DetailsRequest,
  detail: Detail,
  { left, top, width }: { left: number; top: number; width: number },
): string[] {
  const { fromS, toS, zeroS } = detail;
  const panels = detail.panels.flatMap((title) => panelOf(title, capture, labels));
  const boxes = panels.map(
    (_, i): Box => ({
      ...{ left: left + AXIS, top: top + HEAD + i * (PLOT_HEIGHT + GAP) },
      ...{ width: width - AXIS - 10, height: PLOT_HEIGHT, fromS, toS },
    }),
  );
  const last = boxes.at(-1);
  if (last === undefined) return [];
  const whole = {
    ...last,
    top: top + HEAD,
    height: last.top + PLOT_HEIGHT - top - HEAD,
  };
  return [
    '<g font-size="11">',
    textAt(left + AXIS, top + 14, `${detail.letter}\u2002${detail.title}`, { size: 12, isBold: true }),
    ...panels.flatMap((panel, i) => [
      textAt(left + AXIS, (boxes[i] ?? last).top - 3, `${panel.title}, ${panel.unit}`, {
        size: 10,
        fill: '#444444',
      }),
      ...drawPlot({
        box: boxes[i] ?? last,
        timeS: capture.timeS,
        lines: panel.lines,
        isTight: detail.isTight === true,
        ...(detail.isTight ? {} : { leastSpan: panel.leastSpan }),
      }),
    ]),
    ...instants(detail, whole),
    ...timeAxis(last, { zeroS, factor: 1000, about: 5 }),
    textAt(last.left + last.width / 2, last.top + PLOT_HEIGHT + 29, 'ms from the command', {
      size: 10,
      anchor: 'middle',
      fill: '#444444',
    }),
    '</g>',
  ];
}

/** A thin line for each instant that was measured, its name where no other stands. */
function instants({ marks = [], fromS, toS }: Detail, box: Box): string[] {
  const x = timeScale(box);
  let row = 0;
  return marks
    .filter(({ atS }) => atS >= fromS && atS <= toS)
    .toSorted((a, b) => a.atS - b.atS)
    .flatMap(({ atS, text }) => {
      const at = x(atS);
      const width = textWidth(text, MARK_SIZE);
      const isLate = at + 4 + width > box.left + box.width;
      const y = box.top + 11 + (row++ % 4) * 12;
      const start = isLate ? at - 4 - width : at + 4;
      return [
        `<line x1="${n(at)}" y1="${n(box.top)}" x2="${n(at)}" y2="${n(box.top + box.height)}" stroke="#000000" stroke-width="0.7" stroke-dasharray="3 2"/>`,
        `<rect x="${n(start - 1)}" y="${n(y - 9)}" width="${n(width + 2)}" height="11" fill="#ffffff" fill-opacity="0.8"/>`,
        textAt(start, y, text, { size: MARK_SIZE }),
      ];
    });
}
