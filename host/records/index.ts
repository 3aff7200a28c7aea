export { anchorOf, isAnchor, isAnchorOf } from './anchor.js';
export { type Archive, fileSha256 } from './archive.js';
export type { Bench } from './benches.js';
export type { CalibrationPoint, KnownReading, ShiftCheck } from './calibration-store.js';
export type { Verification } from './chain.js';
export type { About, ChainFault } from './chain-link.js';
export type { SignaturesFound } from './chain-signatures.js';
export type { ExpectedLink } from './chain-walk.js';
export type { Disposition } from './disposition.js';
export type {
  ClipEntry,
  EntryContent,
  ProbedEntry,
  ProbeEntry,
  ProbeUndoneEntry,
  RunEntry,
} from './entry.js';
export { type JudgementRecord, judgementRecord } from './judgement-record.js';
export { whenLinked } from './linked.js';
export { hasStore, LOGS_VARIABLE, logsDir, PHOTOS, STORE_FILE } from './location.js';
export * from './record.js';
export { RecordError, type RecordErrorCode } from './record-error.js';
export type { RunQuery } from './run-query.js';
export {
  addressShown,
  holdsPassword,
  type ServerAddress,
  STORE_VARIABLE,
  serverAddress,
  type WrittenAddress,
} from './server-address.js';
export { doubtOf, failedCheckWords, standingFailures } from './shift-doubt.js';
export * from './shop-entry.js';
export type { Job, KnownUnit, ListedUnit } from './shop-store.js';
export { KEY_VARIABLE, keyPath, makeKey, type PublicKey, publicKeyOf, shopSigner } from './signing.js';
export * from './sitting.js';
export { openStore, openStoreToRead, type Store } from './store.js';
