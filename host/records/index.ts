export {
  type Calibration,
  type CalibrationPoint,
  type Correction,
  calibrationFor,
  correctedScales,
  doubtOf,
  type KnownReading,
  type ShiftCheck,
} from './calibrations.js';
export type { Verification } from './chain.js';
export { hasStore, LOGS_VARIABLE, logsDir } from './location.js';
export * from './record.js';
export { RecordError, type RecordErrorCode } from './record-error.js';
export { openStore, type Store } from './store.js';
