export * from './numbers.js';
export * from './words.js';
