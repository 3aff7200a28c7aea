export { type CsvRow, csvRows } from './csv-rows.js';
export { displayPath, readFault } from './file-words.js';
export * from './input-error.js';
export { editDistance, nearestName } from './nearest.js';
export { saysUnknown } from './unknown.js';
export { oneLine, steeringIn, visible, withoutSteering } from './visible.js';
