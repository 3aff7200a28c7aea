export { bandInThreads } from './band-threads.js';
export * from './cautions.js';
export * from './desk.js';
export * from './drive.js';
export * from './event-queue.js';
export * from './events.js';
export * from './run-tray.js';
export * from './run-unit.js';
export * from './stop-advice.js';
