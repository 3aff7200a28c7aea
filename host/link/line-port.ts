// One attempt at a serial port: a fresh stream object, lines in, lines out, and one notice of its end. Never reused:
// listeners bound to an earlier object are how a reopened port goes deaf.

import { SerialPortStream } from '@serialport/stream';
import { BoundedReadline } from './bounded-readline.js';
import type { Clock } from './clock.js';
import { LinkError } from './link-error.js';
import type { BindingInterface } from './serial-binding.js';
import { sortOpenError, sortOpenPortError } from './sort-error.js';

export interface PortChoice {
  binding: BindingInterface;
  path: string;
}

export interface LinePortEvents {
  onLine(line: string): void;
  /** At most once, and never after close(). */
  onEnd(error: LinkError): void;
}

/** The binding neither opened nor failed in this time: a driver that hangs. */
const OPEN_PATIENCE_S = 5;
/** A close that takes longer is left to the system; the object is dropped either way. */
const CLOSE_PATIENCE_S = 1;

export class LinePort {
  readonly #stream: SerialPortStream;
  readonly #parser: BoundedReadline;
  #ended = false;
  #endedBy: LinkError | undefined;
  bytesIn = 0;
  bytesOut = 0;

  private constructor(
    readonly choice: PortChoice,
    readonly clock: Clock,
    baudRate: number,
    longestLine: number,
    events: LinePortEvents,
  ) {
    this.#parser = new BoundedReadline(longestLine);
    this.#stream = new SerialPortStream({ ...choice, baudRate, autoOpen: false });
    // Listeners before opening: a board that talks at once is heard.
    this.#stream.on('data', (chunk: Buffer) => {
      this.bytesIn += chunk.length;
    });
    this.#stream.pipe(this.#parser);
    this.#parser.on('data', (line: string) => {
      if (!this.#ended) events.onLine(line.endsWith('\r') ? line.slice(0, -1) : line);
    });
    const end = (error: unknown): void => {
      if (this.#ended) return;
      this.#ended = true;
      this.#endedBy = sortOpenPortError(error, choice.path);
      events.onEnd(this.#endedBy);
    };
    this.#stream.on('close', end);
    this.#stream.on('error', end);
  }

  /** Resolves with an open port or rejects with a sorted LinkError; nothing stays open behind a rejection. */
  static async open(
    choice: PortChoice,
    clock: Clock,
    settings: { baudRate: number; longestLine: number },
    events: LinePortEvents,
  ): Promise<LinePort> {
    const port = new LinePort(choice, clock, settings.baudRate, settings.longestLine, events);
    await new Promise<void>((resolve, reject) => {
      let isLate = false;
      const timer = clock.after(OPEN_PATIENCE_S, () => {
        isLate = true;
        reject(
          new LinkError('port-driver-fault', {
            path: choice.path,
            said: 'the port neither opened nor failed',
          }),
        );
      });
      port.#stream.open((error) => {
        timer.cancel();
        if (isLate) void port.close();
        else if (error) reject(sortOpenError(error, choice.path));
        else resolve();
      });
    });
    return port;
  }

  /** What ended the port, if anything but close() did. */
  get endedBy(): LinkError | undefined {
    return this.#endedBy;
  }

  get overlongLines(): number {
    return this.#parser.overlong;
  }

  /** Sends text as it is, line ends included; a write error is reported by onEnd. */
  write(text: string): void {
    if (this.#ended) return;
    this.bytesOut += text.length;
    this.#stream.write(text, 'latin1');
  }

  /** Resolves when the system has let go of the port, or will not tell. No event follows. */
  async close(): Promise<void> {
    this.#ended = true;
    this.#stream.unpipe(this.#parser);
    if (this.#stream.isOpen) {
      await new Promise<void>((resolve) => {
        const timer = this.clock.after(CLOSE_PATIENCE_S, resolve);
        this.#stream.close(() => {
          timer.cancel();
          resolve();
        });
      });
    }
    this.#parser.destroy();
    this.#stream.destroy();
  }
}
