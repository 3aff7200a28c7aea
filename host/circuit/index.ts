export * from './netlist.js';
export * from './transient.js';
