export { type Batch, batchPdf } from './batch.js';
export { sheetHtml } from './html.js';
export { codeSideMm, type Label, type LabelSize, labelsPdf, USUAL_LABEL } from './label.js';
export type { Block, Leaflet } from './leaflet.js';
export { leafletHtml } from './leaflet-html.js';
export { leafletPdf } from './leaflet-pdf.js';
export { sheetPdf } from './pdf.js';
export { type Piece, piecesOf } from './picture-pieces.js';
export type { Paper, Sheet, SheetCause, SheetCheck, SheetCircuit } from './sheet.js';
