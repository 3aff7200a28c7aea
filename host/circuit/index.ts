export { awgAreaMm2 } from './copper.js';
export { createTransient } from './create-transient.js';
export { meltingTimeS } from './elements/fuse.js';
export { wireResistanceOhm } from './elements/resistor.js';
export * from './netlist.js';
export { simulate } from './simulate.js';
export * from './transient.js';
