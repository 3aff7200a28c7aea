export * from './events.js';
