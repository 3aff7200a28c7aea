// One channel against time as lines of text, with its scale at the left and the time under it: for a terminal without a
// screen, a log or a mail. Pure; ASCII where the terminal has no block characters.

import { shortly } from '../tell/index.js';
import { type PlotRequest, tracePlot } from './trace-plot.js';

export interface TextPlotRequest {
  title: string;
  unit: string;
  series: PlotRequest['series'];
  /** Expected band, drawn behind the trace. */
  band?: NonNullable<PlotRequest['band']>;
  /** Of the whole picture, scale included. */
  columns: number;
  /** Of the drawing; title and time axis take two more lines. */
  rows: number;
  fromS: number;
  toS: number;
  ascii?: boolean;
}

const SCALE_COLUMNS = 9;
const LEAST_PLOT_COLUMNS = 10;

/** Title, drawing, time axis. Trailing spaces are cut. */
export function textPlot(request: TextPlotRequest): string[] {
  const { title, unit, series, band, rows, fromS, toS, ascii = false } = request;
  const columns = Math.max(LEAST_PLOT_COLUMNS, request.columns - SCALE_COLUMNS);
  const plot = tracePlot({ columns, rows, fromS, toS, series, unicode: !ascii, ...(band ? { band } : {}) });
  const bar = ascii ? '|' : '│';
  const scale = (row: number): string => {
    const value = row === 0 ? plot.high : row === rows - 1 ? plot.low : undefined;
    return (value === undefined ? '' : shortly(value)).padStart(SCALE_COLUMNS - 2);
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
