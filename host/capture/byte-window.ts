// The bytes of a text through one buffer that moves along it: a file of any size is never held whole.

/** Stays in a processor's cache; a larger one would be slower. */
const WINDOW_BYTES = 1 << 18;
const LINE_FEED = 10;

export class ByteWindow {
  /** The part at hand is [0, end); a line feed stands behind it, so that a scan for one needs no bound. */
  bytes: Uint8Array;
  end = 0;
  /** Nothing follows the part at hand. */
  isLast = false;
  readonly #read: (into: Uint8Array, at: number, length: number) => number;

  /** @param read puts up to `length` bytes into the buffer at `at` and returns how many; 0 at the end of the text. */
  constructor(read: (into: Uint8Array, at: number, length: number) => number, windowBytes = WINDOW_BYTES) {
    if (!(windowBytes >= 4)) throw new RangeError(`windowBytes ${windowBytes} must be 4 or more`);
    this.#read = read;
    this.bytes = new Uint8Array(windowBytes + 1);
    this.#fill();
  }

  static over(text: string, windowBytes?: number): ByteWindow {
    const bytes = Buffer.from(text, 'utf8');
    const ample = Math.max(64, Math.min(WINDOW_BYTES, bytes.length + 1));
    let done = 0;
    return new ByteWindow((into, at, length) => {
      const part = bytes.subarray(done, done + length);
      into.set(part, at);
      done += part.length;
      return part.length;
    }, windowBytes ?? ample);
  }

  /** Moves on: what stood at `from` stands at 0, and more follows it. Grows when nothing could be dropped. */
  moveTo(from: number): void {
    if (this.isLast) throw new RangeError('nothing follows the last part');
    const room = this.bytes.length - 1;
    if (from === 0 && this.end === room) {
      const larger = new Uint8Array(2 * room + 1);
      larger.set(this.bytes.subarray(0, this.end));
      this.bytes = larger;
    } else {
      this.bytes.copyWithin(0, from, this.end);
      this.end -= from;
    }
    this.#fill();
  }

  #fill(): void {
    const room = this.bytes.length - 1;
    while (this.end < room && !this.isLast) {
      const count = this.#read(this.bytes, this.end, room - this.end);
      if (count === 0) this.isLast = true;
      this.end += count;
    }
    this.bytes[this.end] = LINE_FEED;
  }
}
