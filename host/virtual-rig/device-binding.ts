// A serial binding whose port is an object in this program instead of hardware: what the stream library and the
// link see is an ordinary port. Carries bytes only; knows nothing of rigs.

import type { BindingInterface, BindingPortInterface, OpenOptions, PortInfo } from '../link/index.js';

/** What sits at the other end of the line. */
export interface SerialDevice {
  /** The port was opened, with DTR rising as every system does it. */
  opened(): void;
  /** Bytes from the host. */
  receive(bytes: Uint8Array): void;
  closed(): void;
}

export interface DeviceBinding extends BindingInterface {
  /** Bytes from the device to whoever has the port open; lost when nobody has. */
  transmit(bytes: Uint8Array): void;
  /** Pulls the cable: what is under way fails, the port no longer exists until plug(). */
  unplug(): void;
  plug(): void;
  /** The device is broken for good: what is under way and whatever comes later fails with `reason`. */
  break(reason: string): void;
  readonly isOpen: boolean;
}

export function deviceBinding(path: string, device: SerialDevice): DeviceBinding {
  let port: DevicePort | undefined;
  let isPlugged = true;
  let brokenBy: string | undefined;
  const info: PortInfo = {
    path,
    manufacturer: undefined,
    serialNumber: undefined,
    pnpId: undefined,
    locationId: undefined,
    productId: undefined,
    vendorId: undefined,
  };
  return {
    list: async () => (isPlugged ? [info] : []),
    async open(options: OpenOptions) {
      // The words of the native binding on Linux, so that sorting errors is tried on the real thing.
      if (!isPlugged || options.path !== path) {
        throw new Error(`Error: No such file or directory, cannot open ${options.path}`);
      }
      if (brokenBy !== undefined) throw new Error(brokenBy);
      if (port?.isOpen) throw new Error('Error Resource temporarily unavailable Cannot lock port');
      port = new DevicePort(options, device);
      device.opened();
      return port;
    },
    transmit: (bytes) => port?.deliver(bytes),
    unplug() {
      isPlugged = false;
      port?.fail(new Error('bad file descriptor'));
    },
    break(reason) {
      brokenBy = reason;
      port?.fail(new Error(reason));
    },
    plug() {
      isPlugged = true;
    },
    get isOpen() {
      return port?.isOpen ?? false;
    },
  };
}

/** Longest backlog that an operating system keeps for a slow reader (4 KiB on Linux); more is lost, as there. */
const BACKLOG_BYTES = 64 * 1024;

class DevicePort implements BindingPortInterface {
  readonly openOptions: Required<OpenOptions>;
  isOpen = true;
  #backlog: Uint8Array[] = [];
  #backlogBytes = 0;
  #reader: { buffer: Buffer; offset: number; length: number; resolve: Resolve; reject: Reject } | undefined;
  #failure: Error | undefined;

  constructor(
    options: OpenOptions,
    readonly device: SerialDevice,
  ) {
    this.openOptions = options as Required<OpenOptions>;
  }

  deliver(bytes: Uint8Array): void {
    if (!this.isOpen || bytes.length === 0 || this.#backlogBytes + bytes.length > BACKLOG_BYTES) return;
    this.#backlog.push(bytes);
    this.#backlogBytes += bytes.length;
    this.#serve();
  }

  fail(error: Error): void {
    this.#failure = error;
    this.#reader?.reject(error);
    this.#reader = undefined;
  }

  async close(): Promise<void> {
    this.#mustBeOpen();
    this.isOpen = false;
    this.#reader?.reject(cancelled());
    this.#reader = undefined;
    this.device.closed();
  }

  read(buffer: Buffer, offset: number, length: number): Promise<{ buffer: Buffer; bytesRead: number }> {
    return new Promise((resolve, reject) => {
      if (!this.isOpen) reject(cancelled());
      else if (this.#failure) reject(this.#failure);
      else {
        this.#reader = { buffer, offset, length, resolve, reject };
        this.#serve();
      }
    });
  }

  async write(buffer: Buffer): Promise<void> {
    if (!this.isOpen) throw cancelled();
    if (this.#failure) throw this.#failure;
    // A copy: the caller may reuse its buffer.
    this.device.receive(Uint8Array.from(buffer));
  }

  async update(): Promise<void> {
    this.#mustBeOpen();
  }
  async set(): Promise<void> {
    this.#mustBeOpen();
  }
  async get(): Promise<{ cts: boolean; dsr: boolean; dcd: boolean }> {
    this.#mustBeOpen();
    return { cts: true, dsr: true, dcd: true };
  }
  async getBaudRate(): Promise<{ baudRate: number }> {
    this.#mustBeOpen();
    return { baudRate: this.openOptions.baudRate };
  }
  async flush(): Promise<void> {
    this.#mustBeOpen();
    this.#backlog = [];
    this.#backlogBytes = 0;
  }
  async drain(): Promise<void> {
    this.#mustBeOpen();
  }

  #serve(): void {
    const reader = this.#reader;
    if (reader === undefined || this.#backlogBytes === 0) return;
    this.#reader = undefined;
    let bytesRead = 0;
    for (const chunk of this.#backlog.splice(0)) {
      const taken = chunk.subarray(0, reader.length - bytesRead);
      reader.buffer.set(taken, reader.offset + bytesRead);
      bytesRead += taken.length;
      if (taken.length < chunk.length) this.#backlog.push(chunk.subarray(taken.length));
    }
    this.#backlogBytes -= bytesRead;
    reader.resolve({ buffer: reader.buffer, bytesRead });
  }

  #mustBeOpen(): void {
    if (!this.isOpen) throw new Error('Port is not open');
  }
}

type Resolve = (value: { buffer: Buffer; bytesRead: number }) => void;
type Reject = (error: Error) => void;

/** What the stream library takes for "closed on purpose". */
function cancelled(): Error {
  return Object.assign(new Error('Port is not open'), { canceled: true });
}
