// The native serial add-on, loaded only when a real port is opened: virtual rigs and file work run without it.

import type { PortChoice } from './line-port.js';
import { LinkError } from './link-error.js';
import type { BindingInterface } from './serial-binding.js';

/** Rejects with a LinkError `add-on-missing` where the add-on cannot be loaded. */
export async function nativePort(path: string): Promise<PortChoice> {
  try {
    const { SerialPort } = await import('serialport');
    return { binding: SerialPort.binding as BindingInterface, path };
  } catch (error) {
    const [said = ''] = (error instanceof Error ? error.message : String(error)).split('\n');
    throw new LinkError('add-on-missing', { path, said }, error);
  }
}
