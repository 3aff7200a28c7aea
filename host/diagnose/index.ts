export { type DiagnoseRequest, diagnose } from './diagnose.js';
export { type Hypothesis, hypothesesOf, nothingWrong, weighed } from './hypotheses.js';
export {
  CausesWork,
  type DiagnosisLibrary,
  diagnosisLibrary,
  type Library,
  type LibraryEntry,
  LibraryWork,
} from './library.js';
export { type Spread, unsampledIn } from './likelihood.js';
export { HEALTHY } from './nothing-wrong.js';
export type { OwnMotor } from './own-motor.js';
export { tripIndex } from './pattern.js';
export * from './probing/index.js';
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
  type RankedCause,
  type RankedFinding,
  SAME_WITHIN,
} from './ranking.js';
export { RIPPLE_SWING, wrongRipples } from './ripple-evidence.js';
export { faultsNotShown } from './same-readings.js';
