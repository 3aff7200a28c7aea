export * from './rig.js';
export { type ConnectRigOptions, connectRig } from './serial-rig.js';
export { type GridOptions, UniformGrid } from './uniform-grid.js';
