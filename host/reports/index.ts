export * from './chart-svg.js';
