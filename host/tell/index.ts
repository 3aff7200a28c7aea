export * from './counters.js';
export * from './forms.js';
export * from './numbers.js';
export * from './revisions.js';
export * from './words.js';
export * from './wrap.js';
