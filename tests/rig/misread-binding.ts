// A serial binding around a board whose converter misreads: the counts of its frames are changed on their way, their CRC made
// again. Everything else passes as it is. Frames: PROTOCOL.md, "Frames"; the scan list after reset.

import { DEFAULT_SCAN, decodeLine, packFrame } from '../../firmware-protocol/index.js';
import type { BindingInterface, BindingPortInterface } from '../../host/link/index.js';

/** What a count becomes; the time runs from the first frame, in seconds. */
export type Misreading = (letter: string, count: number, timeS: number) => number;

const FRAME_S = 0.001;
const clamped = (count: number): number => Math.max(0, Math.min(1023, Math.round(count)));

export class MisreadBinding implements BindingInterface {
  #frames = 0;

  constructor(
    readonly inner: BindingInterface,
    readonly misread: Misreading,
  ) {}

  list() {
    return this.inner.list();
  }

  async open(options: Parameters<BindingInterface['open']>[0]): Promise<BindingPortInterface> {
    const port = await this.inner.open(options);
    const { read } = port;
    let half = '';
    let waiting = Buffer.alloc(0);
    port.read = async (buffer, offset, length) => {
      while (waiting.length === 0) {
        const { bytesRead } = await read.call(port, buffer, offset, length);
        const lines = (half + buffer.subarray(offset, offset + bytesRead).toString('latin1')).split('\n');
        half = lines.pop() ?? '';
        waiting = Buffer.from(lines.map((line) => `${this.#changed(line)}\n`).join(''), 'latin1');
      }
      const bytesRead = waiting.copy(buffer, offset, 0, Math.min(waiting.length, length));
      waiting = waiting.subarray(bytesRead);
      return { buffer, bytesRead };
    };
    return port;
  }

  #changed(line: string): string {
    const decoded = decodeLine(line);
    if (decoded.kind !== 'frame') return line;
    const timeS = FRAME_S * this.#frames++;
    const counts = decoded.frame.counts.map((count, slot) =>
      clamped(this.misread(DEFAULT_SCAN[slot] ?? '', count, timeS)),
    );
    return packFrame({ ...decoded.frame, counts });
  }
}

/** One bit of one input that never changes. */
export const bitStuck =
  (letter: string, bit: number, isSet: boolean): Misreading =>
  (read, count) =>
    read !== letter ? count : isSet ? count | (1 << bit) : count & ~(1 << bit);
