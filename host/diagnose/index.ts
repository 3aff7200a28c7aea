export { type DiagnoseRequest, diagnose, type RankedFinding } from './diagnose.js';
export { type DiagnosisLibrary, diagnosisLibrary, tripIndex } from './library.js';
export type { Spread } from './likelihood.js';
