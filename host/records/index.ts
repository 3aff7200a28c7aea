export type { CalibrationPoint, KnownReading, ShiftCheck } from './calibration-store.js';
export type { Verification } from './chain.js';
export { type JudgementRecord, judgementRecord } from './judgement-record.js';
export { hasStore, LOGS_VARIABLE, logsDir } from './location.js';
export * from './record.js';
export { RecordError, type RecordErrorCode } from './record-error.js';
export { doubtOf, failedCheckWords, standingFailures } from './shift-doubt.js';
export * from './sitting.js';
export { openStore, type Store } from './store.js';
