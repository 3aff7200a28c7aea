export { type ChartRequest, chartSvg } from './chart-svg.js';
export { type DotStrip, type DotUnit, dotLines, dotsSvg } from './dot-picture.js';
export type { ChartBand } from './plot.js';
export { type RunPicture, runPicture } from './run-picture.js';
