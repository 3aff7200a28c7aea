export { type Batch, batchPdf } from './batch.js';
export { sheetHtml } from './html.js';
export { codeSideMm, type Label, type LabelSize, labelsPdf, USUAL_LABEL } from './label.js';
export { sheetPdf } from './pdf.js';
export type { Paper, Sheet, SheetCause, SheetCheck, SheetCircuit } from './sheet.js';
