export * from './rig.js';
