export { type DiagnoseRequest, diagnose } from './diagnose.js';
export { HEALTHY, type Hypothesis, hypothesesOf } from './hypotheses.js';
export { type DiagnosisLibrary, diagnosisLibrary, LibraryWork } from './library.js';
export type { Spread } from './likelihood.js';
export { tripIndex } from './pattern.js';
export { CircuitsInPieces } from './probing/circuits-in-pieces.js';
export { probeMenu } from './probing/menu.js';
export { type NextProbe, nextProbeOf } from './probing/next-probe.js';
export type { ProbeAnswer, ProbeChoice, ProbeReading } from './probing/probe.js';
export { seenDifference } from './probing/seen-difference.js';
export {
  backgroundLog,
  findingOf,
  grouped,
  LEAST_LIKELIHOOD,
  likeliestFirst,
  MOST_FINDINGS,
  nothingListed,
  numberTerm,
  posterior,
  type RankedFinding,
  SAME_WITHIN,
} from './ranking.js';
export { RIPPLE_SWING, wrongRipples } from './ripple-evidence.js';
export { faultsNotShown } from './same-readings.js';
