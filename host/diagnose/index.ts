export { type DiagnoseRequest, diagnose, type RankedFinding } from './diagnose.js';
export { type Hypothesis, hypothesesOf } from './hypotheses.js';
export { type DiagnosisLibrary, diagnosisLibrary, tripIndex } from './library.js';
export type { Spread } from './likelihood.js';
export { CircuitsInPieces } from './probing/circuits-in-pieces.js';
export { probeMenu } from './probing/menu.js';
export type { ProbeAnswer, ProbeChoice, ProbeReading } from './probing/probe.js';
export { seenDifference } from './probing/seen-difference.js';
export { faultsNotShown } from './same-readings.js';
