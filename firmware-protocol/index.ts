export * from './board-constants.js';
export * from './board-side.js';
export { crc16, crcDigits, hasValidCrc } from './crc16.js';
export { allowed } from './fields.js';
export {
  FRAME_CHARS,
  FRAME_NUMBER_SPAN,
  type Frame,
  packFrame,
  unpackFrame,
  unpackSamples,
} from './frame.js';
export { createLineReader, type LineReader } from './line-reader.js';
export {
  type BoardLine,
  decodeLine,
  encodeRequest,
  IDENTIFY_LINE,
  readReply,
  refusalSentence,
  unreadField,
} from './lines.js';
export * from './messages.js';
