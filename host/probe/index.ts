export { BenchOf, THROW_S, WAYS, type Way } from './bench-of.js';
export { causesOfProfile, causesOfRun, type FindingTold, type WeighedCause } from './causes.js';
export { type Conclusion, conclude, informationOf, leftOf } from './choose.js';
export { displayed, meterUncertainty, type Range, unitOf } from './hand-meter.js';
export { menuOf } from './menu.js';
export { nodeAt, type Place, placesOf } from './place.js';
export type {
  Expected,
  Probe,
  Reading,
  Shown,
} from './probe.js';
export {
  type Probing,
  passedOver,
  type Ranked,
  type Standing,
  type Start,
  standingOf,
  startProbing,
  type Taken,
  withoutLast,
  withReading,
} from './probing.js';
export { askedFor, type Typed, typedReading } from './typed-reading.js';
export { type At, type End, type Hearing, type ReadingSource, type Walked, walk } from './walk.js';
export { conclusionText, leftLines, meaningsOf } from './words.js';
