// The readline parser with a bound on the length of a line: a board or a cable that sends rubbish without a line
// end must not fill the memory, and the first good line after it must be heard.

import type { TransformCallback } from 'node:stream';
import { ReadlineParser } from '@serialport/parser-readline';

const LINE_END = 0x0a;

export class BoundedReadline extends ReadlineParser {
  /** Stretches thrown away because no line end came in time. */
  overlong = 0;
  #discarding = false;

  constructor(readonly longestLine: number) {
    // Latin-1 keeps every byte apart, so that a damaged line can be shown as it came.
    super({ delimiter: '\n', encoding: 'latin1' });
  }

  override _transform(chunk: Buffer, encoding: BufferEncoding, done: TransformCallback): void {
    let rest = chunk;
    if (this.#discarding) {
      const end = rest.indexOf(LINE_END);
      if (end < 0) {
        done();
        return;
      }
      this.#discarding = false;
      rest = rest.subarray(end + 1);
    }
    super._transform(rest, encoding, (error) => {
      if (this.buffer.length > this.longestLine) {
        this.buffer = Buffer.alloc(0);
        this.overlong += 1;
        this.#discarding = true;
      }
      done(error);
    });
  }
}
