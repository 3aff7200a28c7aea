export { cacheDir, programDigest } from './cache.js';
export { programDir, programVersion } from './program.js';
export { SETTINGS_VARIABLE, settingsPath } from './settings-path.js';
export { startWorker } from './worker-thread.js';
