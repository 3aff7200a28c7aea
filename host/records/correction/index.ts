// Apart from the rest of the records: what measures loads for this only.

export { type Calibration, type Correction, calibrationFor, correctedScales } from './correction.js';
