export {
  type BoardOutputs,
  type BoardWorld,
  EmulatedBoard,
  type EmulatedBoardOptions,
  HARDWARE_REVISION,
  type ResetCause,
} from './emulated-board.js';
export { readIntelHex } from './intel-hex.js';
export { rigImage } from './rig-image.js';
