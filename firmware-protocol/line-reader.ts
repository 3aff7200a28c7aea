// Cuts a byte stream into lines with a bound, so that rubbish without a newline neither grows nor silences the reader.

import { BOARD } from './board-constants.js';

export interface LineReader {
  /** Any chunk: cut anywhere, several lines, rubbish. */
  push(bytes: Uint8Array): void;
  /** Forgets a line begun, as after opening a port. */
  reset(): void;
  /** Bytes that belonged to no line within the bound. */
  readonly droppedBytes: number;
}

/** Calls `onLine` with each line without newline and carriage return; an overlong one is dropped up to its newline. */
export function createLineReader(
  onLine: (line: string) => void,
  maxBytes: number = BOARD.boardLineMaxBytes,
): LineReader {
  const held = Buffer.alloc(maxBytes);
  let length = 0;
  let skipping = false;
  let droppedBytes = 0;
  return {
    push(bytes) {
      for (const byte of bytes) {
        if (byte === 10) {
          if (skipping) droppedBytes++;
          else if (length > 0) {
            const end = held[length - 1] === 13 ? length - 1 : length;
            if (end > 0) onLine(held.toString('latin1', 0, end));
          }
          length = 0;
          skipping = false;
        } else if (skipping) droppedBytes++;
        else if (length === maxBytes) {
          droppedBytes += length + 1;
          skipping = true;
        } else held[length++] = byte;
      }
    },
    reset() {
      length = 0;
      skipping = false;
    },
    get droppedBytes() {
      return droppedBytes;
    },
  };
}
