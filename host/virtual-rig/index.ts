export { type BoardOutputs, type BoardWorld, EmulatedBoard } from './board/index.js';
export { type Chance, chance } from './chance.js';
export { type DeviceBinding, deviceBinding, type SerialDevice } from './device-binding.js';
export { type EmulatedRigOptions, openEmulatedRig, type VirtualRig } from './emulated-rig.js';
export { Engine, type EngineOptions, type Machine } from './engine.js';
export { type ServeOptions, serveVirtualRig } from './serve.js';
export { SimulatedBench } from './simulated-bench.js';
export { trueUnit } from './true-unit.js';
export { drawClockErrorPpm, openVirtualRig, type VirtualRigOptions } from './virtual-rig.js';
