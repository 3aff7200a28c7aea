export { TESTED_WARM } from './checks/held-rotor.js';
export { outcomeOf } from './decision.js';
export { type Expectation, type ExpectationOptions, expectation, goodDraws } from './expectation.js';
export type { FeatureBand } from './feature-band.js';
export { boundOf, type CauseLibrary, causeLibrary, type JudgeRequest, judge } from './judge.js';
export {
  type CheckJson,
  checkJson,
  type JudgementJson,
  judgementJson,
} from './judgement-json.js';
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
export type { WayTold } from './way.js';
export type { Shown } from './what-it-does.js';
export { asWitnessed } from './witnessed.js';
