export {
  type BudgetLine,
  type Budgets,
  budgetLines,
  budgetsOf,
  type ChannelBudget,
  offsetAtEnd,
} from './budget.js';
export {
  chiSquaredQuantile,
  fisherQuantile,
  normalCoverageFactor,
  normalProbability,
  studentCoverageFactor,
  toleranceFactor,
} from './distributions.js';
export type { Dropout } from './dropouts.js';
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
  type Component,
  combine,
  componentsOf,
  countOf,
  coverageFactor95,
  type Measured,
  type Quantity,
  quantityOf,
} from './quantity.js';
export * from './relay/index.js';
export type { ReleaseClass, Segment } from './segment.js';
export { median, quantile, type Summary, summarise } from './statistics.js';
