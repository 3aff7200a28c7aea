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

/** A register as it stands, without the effects of reading it. */
export const registerAt = (cpu: CPU, register: number): number => cpu.dataView.getUint8(register);

/** Sets bits of a register without the effects of writing it. */
export function setBits(cpu: CPU, register: number, bits: number): void {
  cpu.data[register] = registerAt(cpu, register) | bits;
}

export function clearBits(cpu: CPU, register: number, bits: number): void {
  cpu.data[register] = registerAt(cpu, register) & ~bits;
}

/** Sets or clears the pending state of an interrupt from its flag and enable bits as they stand in the registers. */
export function settleInterrupt(cpu: CPU, interrupt: InterruptSource): void {
  const isFlagged = registerAt(cpu, interrupt.flagRegister) & interrupt.flagMask;
  const isEnabled = registerAt(cpu, interrupt.enableRegister) & interrupt.enableMask;
  if (isFlagged && isEnabled) cpu.queueInterrupt(interrupt);
  else cpu.clearInterrupt(interrupt, false);
}
