// A serial binding around another one that damages what passes: flipped bits, lost and repeated chunks, lines cut
// anywhere, noise. Seeded, so that a failure can be seen again.

import type { BindingInterface, BindingPortInterface } from '../../host/link/index.js';

export interface Harm {
  /** Chance that a byte has one bit flipped. */
  flip?: number;
  /** Chances that a chunk is lost, or comes twice. */
  drop?: number;
  repeat?: number;
  /** Chunks are cut into pieces of at most this many bytes. */
  cutTo?: number;
  /** Everything is replaced by random bytes. */
  isNoise?: boolean;
}

/** Same generator as everywhere in tests: 32-bit state, uniform in [0, 1). */
export function dice(seed: number): () => number {
  let state = seed >>> 0;
  return () => {
    state = (state + 0x6d2b79f5) >>> 0;
    let t = Math.imul(state ^ (state >>> 15), state | 1);
    t ^= t + Math.imul(t ^ (t >>> 7), t | 61);
    return ((t ^ (t >>> 14)) >>> 0) / 4294967296;
  };
}

export class HostileBinding implements BindingInterface {
  toHost: Harm = {};
  toBoard: Harm = {};
  flipped = 0;
  dropped = 0;
  repeated = 0;
  readonly #random: () => number;

  constructor(
    readonly inner: BindingInterface,
    seed: number,
  ) {
    this.#random = dice(seed);
  }

  list() {
    return this.inner.list();
  }

  async open(options: Parameters<BindingInterface['open']>[0]): Promise<BindingPortInterface> {
    const port = await this.inner.open(options);
    const { read, write } = port;
    // Pieces that wait for the next read.
    const waiting: Buffer[] = [];
    port.read = async (buffer, offset, length) => {
      while (waiting.length === 0) {
        const { bytesRead } = await read.call(port, buffer, offset, length);
        waiting.push(...this.#harm(Buffer.from(buffer.subarray(offset, offset + bytesRead)), this.toHost));
      }
      const piece = waiting.shift()!;
      const bytesRead = piece.copy(buffer, offset, 0, Math.min(piece.length, length));
      if (bytesRead < piece.length) waiting.unshift(piece.subarray(bytesRead));
      return { buffer, bytesRead };
    };
    port.write = async (buffer) => {
      for (const piece of this.#harm(Buffer.from(buffer), this.toBoard)) await write.call(port, piece);
      if (this.toBoard.drop === 1) return;
    };
    return port;
  }

  #harm(chunk: Buffer, { flip = 0, drop = 0, repeat = 0, cutTo = 0, isNoise = false }: Harm): Buffer[] {
    if (drop > 0 && this.#random() < drop) {
      this.dropped += 1;
      return [];
    }
    for (let i = 0; i < chunk.length; i++) {
      if (isNoise) chunk[i] = Math.floor(this.#random() * 256);
      else if (flip > 0 && this.#random() < flip) {
        chunk[i] = chunk[i]! ^ (1 << Math.floor(this.#random() * 8));
        this.flipped += 1;
      }
    }
    const pieces: Buffer[] = [];
    for (let at = 0; at < chunk.length; ) {
      const size = cutTo === 0 ? chunk.length : 1 + Math.floor(this.#random() * cutTo);
      pieces.push(chunk.subarray(at, at + size));
      at += size;
    }
    if (repeat > 0 && this.#random() < repeat) {
      this.repeated += 1;
      return [...pieces, ...pieces];
    }
    return pieces;
  }
}
