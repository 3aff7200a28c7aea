export * from './builder.js';
export * from './capture.js';
export * from './capture-csv.js';
export { COLUMN_OF, FEED_COLUMN, POSITION_COLUMN, TIME_COLUMN } from './columns.js';
export * from './gaps.js';
export * from './resample.js';
export * from './slice.js';
export * from './write-csv.js';
