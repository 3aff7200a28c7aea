export { sheetHtml } from './html.js';
export { sheetPdf } from './pdf.js';
export type { Paper, Sheet, SheetCause, SheetCheck, SheetCircuit } from './sheet.js';
