// Apart from the rest of the bench: judging and the circuit load in this thread for training only.

export { HEALTHY, type ProbeAnswer, type ProbeReading } from '../../diagnose/index.js';
export type { Nameable } from './hidden-fault.js';
export { type Cell, COLUMNS, type ReadingsRow } from './readings.js';
export { searchNames } from './search.js';
export { type AskedProbe, type Reveal, TRAINING_TAG, Training, type TrainingTools } from './training.js';
