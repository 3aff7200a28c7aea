export {
  type BudgetLine,
  type Budgets,
  budgetLines,
  budgetsOf,
  type ChannelBudget,
  offsetAtEnd,
} from './budget.js';
export { blinds, type CaptureDoubt } from './capture-doubt.js';
export { perhapsCutOff } from './clipped.js';
export {
  behindCoilLimiter,
  COIL_SHORT_A,
  type CoilLimiter,
  type CoilShort,
  coilLimiterOf,
  coilShort,
  coilShortSentence,
  isShortBehind,
  LEAST_COIL_OHM,
} from './coil-short.js';
export {
  chiSquaredQuantile,
  fisherQuantile,
  normalCoverageFactor,
  normalProbability,
  studentBeyond,
  studentCoverageFactor,
  toleranceFactor,
} from './distributions.js';
export type { Dropout } from './dropouts.js';
export { type FedAtRest, fedAtRest, fedSentence, type RestState } from './fed-at-rest.js';
export {
  arcsine,
  type Correlation,
  correlationOf,
  covarianceOf,
  freedomOf,
  type Input,
  meanOf,
  type Propagated,
  propagate,
  rectangular,
} from './gum.js';
export { DRIVEN_PART, FLOWING_A, throwCurrentA } from './idle-throw.js';
export { type Accuracy, type Instrument, zeroFromRest } from './instrument.js';
export {
  type FeedPath,
  feedPathOf,
  type LimitedReading,
  limitedReadings,
  limitedShort,
} from './limited-short.js';
export { type MeasureOptions, type MeasureResult, measure } from './measure.js';
export * from './model/index.js';
export {
  type Least,
  type Place,
  placeOf,
  QUANTITIES,
  QUANTITY_NAMES,
  type QuantityKind,
  type QuantityName,
} from './quantities.js';
export {
  type Component,
  combine,
  componentsOf,
  countOf,
  coverageFactor95,
  lineOf,
  type Quantity,
  quantityOf,
  scaledLines,
} from './quantity.js';
export { markReversals } from './quick-reversal.js';
export {
  isWayUntold,
  keyOf,
  keyRead,
  kindOf,
  type Measured,
  puttingInto,
  type Reading,
  readingOf,
  type Told,
  UNSEEN_SUPPLY,
  unloadedSupply,
} from './reading.js';
export * from './relay/index.js';
export * from './run-stretch.js';
export type { ReleaseClass, Segment } from './segment.js';
export { largestOf, median, noiseOf, quantile, type Summary, summarise } from './statistics.js';
export { supplyIn, supplyReadingFor } from './supply-of.js';
export { WindingHeat } from './winding-heat.js';
