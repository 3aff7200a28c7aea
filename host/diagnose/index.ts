export { type DiagnoseRequest, diagnose, type RankedFinding } from './diagnose.js';
export { type Hypothesis, hypothesesOf } from './hypotheses.js';
export { type DiagnosisLibrary, diagnosisLibrary, tripIndex } from './library.js';
export type { Spread } from './likelihood.js';
export { faultsNotShown } from './same-readings.js';
