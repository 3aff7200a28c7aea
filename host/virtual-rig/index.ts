export { type DeviceBinding, deviceBinding, type SerialDevice } from './device-binding.js';
export { Engine, type EngineOptions, type Machine } from './engine.js';
