export {
  type BoardOutputs,
  type BoardWorld,
  EmulatedBoard,
  type EmulatedBoardOptions,
  type ResetCause,
} from './emulated-board.js';
export { readIntelHex } from './intel-hex.js';
export { rigImage } from './rig-image.js';
