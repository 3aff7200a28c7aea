export { cacheDir, programDigest } from './cache.js';
export { programDir, programVersion } from './program.js';
