// One channel against time as lines of text, with its scale at the left and the time under it: for a terminal without a
// screen, a log or a mail. Pure; ASCII where the terminal has no block characters.

import { shortly } from '../tell/index.js';
import { type PlotRequest, tracePlot } from './trace-plot.js';

/** Columns of the whole picture, scale included; rows of the drawing: title and time axis take two more. */
export interface TextPlotRequest extends PlotRequest {
  title: string;
  unit: string;
}

const SCALE_COLUMNS = 9;
const LEAST_PLOT_COLUMNS = 10;

/** Title, drawing, time axis. Trailing spaces are cut. */
export function textPlot(request: TextPlotRequest): string[] {
  const { title, unit, fromS, toS, unicode } = request;
  const columns = Math.max(LEAST_PLOT_COLUMNS, request.columns - SCALE_COLUMNS);
  const plot = tracePlot({ ...request, columns });
  const bar = unicode ? '│' : '|';
  const scale = (row: number): string => {
    const tick = plot.ticks.find((one) => one.row === row);
    return (tick === undefined ? '' : shortly(tick.value)).padStart(SCALE_COLUMNS - 2);
  };
  const drawing = plot.rows.map((runs, row) =>
    `${scale(row)} ${bar}${runs.map(({ text }) => text).join('')}`.trimEnd(),
  );
  return [`${title}, ${unit}`, ...drawing, timeAxis(fromS, toS, columns)];
}

function timeAxis(fromS: number, toS: number, columns: number): string {
  const first = shortly(fromS, 's');
  const last = shortly(toS, 's');
  return `${' '.repeat(SCALE_COLUMNS)}${first}${last.padStart(Math.max(last.length + 1, columns - first.length))}`;
}
