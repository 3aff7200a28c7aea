// What the peripherals share: the CPU, the agenda, and how a peripheral takes part in a reset.

import type { CPU } from 'avr8js';
import type { Agenda } from './agenda.js';

export interface Chip {
  readonly cpu: CPU;
  readonly agenda: Agenda;
}

export interface Peripheral {
  /** Registers as the data sheet gives them after any reset. */
  reset(): void;
}

export type InterruptSource = Parameters<CPU['queueInterrupt']>[0];

/** Sets or clears the pending state of an interrupt from its flag and enable bits as they stand in the registers. */
export function settleInterrupt(cpu: CPU, interrupt: InterruptSource): void {
  const wanted =
    (cpu.data[interrupt.flagRegister]! & interrupt.flagMask) !== 0 &&
    (cpu.data[interrupt.enableRegister]! & interrupt.enableMask) !== 0;
  if (wanted) cpu.queueInterrupt(interrupt);
  else cpu.clearInterrupt(interrupt, false);
}
