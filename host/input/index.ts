export { displayPath, readFault } from './file-words.js';
export * from './input-error.js';
export { nearestName } from './nearest.js';
