export { breaksOf } from './breaks.js';
export { type Drawing, drawingOf } from './drawing.js';
export { type Layout, laidOut } from './layout.js';
export type { FaultyPlace, Shown } from './shown.js';
export { circuitSvg, compactMetrics, type SvgRequest, svgMetrics } from './svg.js';
export { cellLayout, circuitText } from './text.js';
