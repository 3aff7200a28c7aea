// One I/O port (ATmega328P data sheet, "I/O-Ports"): direction, output latch, pins as read, toggling by writing PIN.

import { type Chip, type Peripheral, registerAt } from './chip.js';

export const PORT_B = { pin: 0x23, ddr: 0x24, port: 0x25 } as const;
export const PORT_D = { pin: 0x29, ddr: 0x2a, port: 0x2b } as const;

export class Port implements Peripheral {
  /** Called after every write to direction or latch, changed or not, with the pins driven high. */
  onWrite: (drivenHigh: number) => void = () => {};
  /** Levels put on the pins from outside; an undriven pin is pulled up or floats low here. */
  private outside = 0;

  constructor(
    private readonly chip: Chip,
    private readonly registers: { readonly pin: number; readonly ddr: number; readonly port: number },
  ) {
    const { cpu } = chip;
    const { pin, ddr, port } = registers;
    cpu.writeHooks[ddr] = (value) => this.write(ddr, value);
    cpu.writeHooks[port] = (value) => this.write(port, value);
    cpu.writeHooks[pin] = (value, _old, _address, mask) =>
      this.write(port, registerAt(cpu, port) ^ (value & mask));
  }

  /** Level that the world puts on one pin. */
  setPin(bit: number, high: boolean): void {
    this.outside = high ? this.outside | (1 << bit) : this.outside & ~(1 << bit);
    this.settle();
  }

  get drivenHigh(): number {
    const { cpu } = this.chip;
    return registerAt(cpu, this.registers.ddr) & registerAt(cpu, this.registers.port);
  }

  reset(): void {
    this.chip.cpu.data[this.registers.ddr] = 0;
    this.chip.cpu.data[this.registers.port] = 0;
    this.settle();
    this.onWrite(0);
  }

  private write(register: number, value: number): boolean {
    this.chip.cpu.data[register] = value;
    this.settle();
    this.onWrite(this.drivenHigh);
    return true;
  }

  private settle(): void {
    const { cpu } = this.chip;
    const direction = registerAt(cpu, this.registers.ddr);
    cpu.data[this.registers.pin] =
      (registerAt(cpu, this.registers.port) & direction) | (this.outside & ~direction);
  }
}
