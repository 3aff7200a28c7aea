export * from './capture.js';
