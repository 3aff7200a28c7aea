// Apart from the rest of the records: what measures loads for this only.

export {
  type Calibration,
  type Correction,
  calibrationFor,
  correctedScale,
  correctedScales,
} from './correction.js';
