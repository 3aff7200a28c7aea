export { type LearnedDistance, learnedDistance } from './distance.js';
export { type LearnedHead, type Lesson, learn, USUAL_STATED, unitsOf } from './learn.js';
export { learnedYaml, mayConclude } from './learned-yaml.js';
export { type LeftOut, leftOut } from './odd-one.js';
export { LEAST_UNITS, shapeWords } from './quantity-limits.js';
export { type Column, columnsOf, type GoodRun } from './run.js';
export { type LookAlike, lookAlikes } from './same-unit.js';
export { isAmbientTold, type LearnedLimits, learnedLimits, silentBecause } from './speak.js';
export type { Stated } from './tolerance.js';
