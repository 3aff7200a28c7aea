// The shape of a serial binding. The package's map hides its declarations from ESM resolution, so the types are
// asked of the stream library, which is built on them.

import type { SerialPortStream } from '@serialport/stream';

type StreamBinding = SerialPortStream['settings']['binding'];

export type BindingInterface = StreamBinding;
export type BindingPortInterface = NonNullable<SerialPortStream['port']>;
export type OpenOptions = Parameters<StreamBinding['open']>[0];
export type PortInfo = Awaited<ReturnType<StreamBinding['list']>>[number];
