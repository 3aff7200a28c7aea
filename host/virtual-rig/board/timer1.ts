// Timer 1 in clear-on-compare mode with the undivided clock (data sheet, "16-bit Timer/Counter1", mode 4): all that the rig uses.

import { type Chip, clearBits, type Peripheral, registerAt, settleInterrupt } from './chip.js';

const [TIFR1, TIMSK1, TCCR1A, TCCR1B, TCNT1L, OCR1AL, OCR1AH] = [0x36, 0x6f, 0x80, 0x81, 0x84, 0x88, 0x89];
const [CTC, UNDIVIDED] = [0x08, 0x01];
const COMPARE_A = {
  address: 0x16,
  flagRegister: TIFR1,
  flagMask: 0x02,
  enableRegister: TIMSK1,
  enableMask: 0x02,
};

export class Timer1 implements Peripheral {
  private readonly place: number;
  private startedAt = 0;
  private top = 0;
  private running = false;

  constructor(private readonly chip: Chip) {
    const { cpu, agenda } = chip;
    this.place = agenda.register(() => this.match());
    cpu.writeHooks[TCCR1A] = (value) => {
      if (value !== 0) throw new Error(`emulated timer 1: TCCR1A ${value} is a mode it does not have`);
    };
    cpu.writeHooks[TCCR1B] = (value) => {
      if (value !== 0 && value !== (CTC | UNDIVIDED))
        throw new Error(`emulated timer 1: TCCR1B ${value} is a mode it does not have`);
      cpu.data[TCCR1B] = value;
      this.running = value !== 0;
      this.startedAt = cpu.cycles;
      this.plan();
      return true;
    };
    // The high byte waits in the temporary register until the low byte is written.
    cpu.writeHooks[OCR1AL] = (value) => {
      cpu.data[OCR1AL] = value;
      this.top = (registerAt(cpu, OCR1AH) << 8) | value;
      this.plan();
      return true;
    };
    cpu.writeHooks[TCNT1L] = (value) => {
      this.startedAt = cpu.cycles - ((registerAt(cpu, TCNT1L + 1) << 8) | value);
      this.plan();
      return true;
    };
    cpu.readHooks[TCNT1L] = () => {
      const count = this.running ? (cpu.cycles - this.startedAt) & 0xffff : 0;
      cpu.data[TCNT1L + 1] = count >> 8;
      return count & 0xff;
    };
    cpu.writeHooks[TIMSK1] = (value) => {
      cpu.data[TIMSK1] = value;
      settleInterrupt(cpu, COMPARE_A);
      return true;
    };
    cpu.writeHooks[TIFR1] = (value) => {
      clearBits(cpu, TIFR1, value);
      settleInterrupt(cpu, COMPARE_A);
      return true;
    };
  }

  reset(): void {
    this.running = false;
    this.top = 0;
    this.plan();
  }

  private plan(): void {
    if (!this.running) this.chip.agenda.cancel(this.place);
    else {
      const due = this.startedAt + this.top + 1;
      // A match that has just gone by is missed until the counter has wrapped, as on the chip.
      this.chip.agenda.set(this.place, due > this.chip.cpu.cycles ? due : due + 0x10000);
    }
  }

  private match(): void {
    this.startedAt += this.top + 1;
    this.plan();
    this.chip.cpu.setInterruptFlag(COMPARE_A);
  }
}
