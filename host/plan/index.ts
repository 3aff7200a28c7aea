export type { Carrier, CarrierKind } from './ammeters.js';
export * from './blade-fuses.js';
export * from './carried.js';
export * from './conductors.js';
export * from './currents.js';
export * from './meter-checks.js';
export { type MeterReading, meterReadings, type ProbedPlace } from './meter-states.js';
export * from './rating-row.js';
export * from './ratings.js';
