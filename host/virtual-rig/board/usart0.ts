// The serial port with real byte times both ways (data sheet, "USART0"): one byte in the sender's buffer behind the one in
// its shift register; two in the receiver's buffer, and what finds them full is lost and flagged.

import { byteAt, itemAt } from '../../arrays/index.js';
import { type Chip, type Peripheral, registerAt, settleInterrupt } from './chip.js';

const [UCSR0A, UCSR0B, UCSR0C, UBRR0L, UBRR0H, UDR0] = [0xc0, 0xc1, 0xc2, 0xc4, 0xc5, 0xc6];
const [RXC, UDRE, FE, DOR, U2X] = [0x80, 0x20, 0x10, 0x08, 0x02];
const [RXEN, TXEN] = [0x10, 0x08];
const RECEIVED = {
  address: 0x24,
  flagRegister: UCSR0A,
  flagMask: RXC,
  enableRegister: UCSR0B,
  enableMask: 0x80,
  constant: true,
};
const EMPTY = {
  address: 0x26,
  flagRegister: UCSR0A,
  flagMask: UDRE,
  enableRegister: UCSR0B,
  enableMask: 0x20,
  constant: true,
};
/** Start bit, eight data bits, one stop bit. */
const BITS = 10;
/** Beside a byte: its stop bit was not seen. */
const UNFRAMED = 0x100;

export class Usart0 implements Peripheral {
  private readonly sendPlace: number;
  private readonly receivePlace: number;
  private shifting: number | undefined;
  private waiting: number | undefined;
  private readonly fifo: number[] = [];
  private overrun = false;
  private line: { bytes: Uint8Array; isFramed: boolean }[] = [];
  private lineAt = 0;

  /** @param onByte a byte that has left completely, its stop bit included. */
  constructor(
    private readonly chip: Chip,
    private readonly onByte: (byte: number) => void,
  ) {
    const { cpu, agenda } = chip;
    this.sendPlace = agenda.register(() => this.sent());
    this.receivePlace = agenda.register(() => this.arrived());
    cpu.writeHooks[UCSR0A] = (value, old) => {
      cpu.data[UCSR0A] = (old & ~U2X) | (value & U2X);
      return true;
    };
    cpu.writeHooks[UCSR0B] = (value) => {
      cpu.data[UCSR0B] = value;
      if (!(value & RXEN)) this.fifo.length = 0;
      this.settle();
      return true;
    };
    cpu.writeHooks[UDR0] = (value) => {
      if (!(registerAt(cpu, UCSR0B) & TXEN)) return true;
      if (this.shifting === undefined) {
        this.shifting = value;
        agenda.set(this.sendPlace, cpu.cycles + this.byteCycles);
      } else this.waiting = value;
      this.settle();
      return true;
    };
    cpu.readHooks[UDR0] = () => {
      const byte = this.fifo.shift() ?? 0;
      this.overrun = false;
      this.settle();
      return byte & 0xff;
    };
  }

  /**
   * Bytes on the wire towards the board, one after the other from now or from the end of those before. Noise has no stop
   * bit where one should be: `isFramed` false.
   */
  receive(bytes: Uint8Array, isFramed = true): void {
    if (bytes.length === 0) return;
    const idle = this.line.length === 0;
    this.line.push({ bytes: Uint8Array.from(bytes), isFramed });
    if (idle) this.chip.agenda.set(this.receivePlace, this.chip.cpu.cycles + this.byteCycles);
  }

  reset(): void {
    const { cpu, agenda } = this.chip;
    cpu.data[UCSR0C] = 0x06;
    this.fifo.length = 0;
    this.shifting = this.waiting = undefined;
    this.overrun = false;
    agenda.cancel(this.sendPlace);
    // The wire does not know of the reset: what is under way still comes.
    if (this.line.length > 0) agenda.set(this.receivePlace, cpu.cycles + this.byteCycles);
    this.settle();
  }

  /** Cycles of one byte at the rate set; before the firmware has set one, at the rig's own 500 kBd. */
  private get byteCycles(): number {
    const { cpu } = this.chip;
    if (!(registerAt(cpu, UCSR0B) & (RXEN | TXEN))) return 320;
    const divisor = ((registerAt(cpu, UBRR0H) << 8) | registerAt(cpu, UBRR0L)) + 1;
    return BITS * divisor * (registerAt(cpu, UCSR0A) & U2X ? 8 : 16);
  }

  private sent(): void {
    const byte = this.shifting;
    this.shifting = this.waiting;
    this.waiting = undefined;
    if (this.shifting !== undefined)
      this.chip.agenda.set(this.sendPlace, this.chip.cpu.cycles + this.byteCycles);
    this.settle();
    if (byte !== undefined) this.onByte(byte);
  }

  private arrived(): void {
    const { bytes, isFramed } = itemAt(this.line, 0);
    const byte = byteAt(bytes, this.lineAt++) | (isFramed ? 0 : UNFRAMED);
    if (this.lineAt === bytes.length) {
      this.line.shift();
      this.lineAt = 0;
    }
    if (this.line.length > 0) this.chip.agenda.set(this.receivePlace, this.chip.cpu.cycles + this.byteCycles);
    if (!(registerAt(this.chip.cpu, UCSR0B) & RXEN)) return;
    if (this.fifo.length < 2) this.fifo.push(byte);
    else this.overrun = true;
    this.settle();
  }

  private settle(): void {
    const { cpu } = this.chip;
    const next = this.fifo[0];
    const flags =
      (next === undefined ? 0 : RXC | (next & UNFRAMED ? FE : 0)) |
      (this.waiting === undefined ? UDRE : 0) |
      (this.overrun ? DOR : 0);
    cpu.data[UCSR0A] = (registerAt(cpu, UCSR0A) & U2X) | flags;
    settleInterrupt(cpu, RECEIVED);
    settleInterrupt(cpu, EMPTY);
  }
}
