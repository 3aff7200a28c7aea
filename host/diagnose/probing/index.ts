// The measurements that a person can make, put to the model.

export { ACTIONS, type Acted, type Action, type BenchState, byAction, COST_MIN } from './actions.js';
export { CircuitsInPieces } from './circuits-in-pieces.js';
export { type HandProbe, handProbes } from './hand-probes.js';
export { probeMenu } from './menu.js';
export { driven } from './meter.js';
export { type NextProbe, nextProbeOf } from './next-probe.js';
export type { ProbeAnswer, ProbeChoice, ProbeReading } from './probe.js';
export { seenDifference } from './seen-difference.js';
