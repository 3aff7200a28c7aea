export { lacksOf, lacksTold } from './board-lacks.js';
export type { Burst, BurstRequest, BurstTrace } from './burst.js';
export { type ConnectRigOptions, connectRig } from './connect-rig.js';
export { FINE_ADVICE, type FineReading } from './fine-look.js';
export * from './rig.js';
export { MOTOR_SCAN, RELAY_SCAN, type ScanChoice, SMALL_MOTOR_SCAN } from './scan-list.js';
export type { StuckBit } from './stuck-bits.js';
export {
  type BoardLimits,
  type ChannelLook,
  type RigLook,
  RigSurvey,
  surveyRig,
} from './survey.js';
export { type GridOptions, UniformGrid } from './uniform-grid.js';
