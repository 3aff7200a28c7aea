// The shape of a serial binding. The package's map hides its declarations from ESM resolution; "require" finds them.

export type {
  BindingInterface,
  BindingPortInterface,
  OpenOptions,
  PortInfo,
} from '@serialport/bindings-interface' with { 'resolution-mode': 'require' };
