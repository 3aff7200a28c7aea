export type { BandPieces } from './band.js';
export { TESTED_WARM } from './checks/held-rotor.js';
export { outcomeOf } from './decision.js';
export { type Expectation, type ExpectationOptions, expectation, goodDraws } from './expectation.js';
export type { FeatureBand } from './feature-band.js';
export { boundOf, type JudgeRequest, judge, libraryFor, prepareFindings } from './judge.js';
export { judgementJson } from './judgement-json.js';
export {
  type RecognisedStyle,
  readingOfRun,
  readingOfStyle,
  recognise,
  type StyleReading,
} from './recognise.js';
export { measureRelayUnit, passesBy } from './relay/index.js';
export * from './verdict.js';
export { verdictOf } from './verdict-rule.js';
export { reading } from './words.js';
