// The converter, single conversions only (data sheet, "Analog-to-Digital Converter", timing diagrams): a conversion begins on
// the next ADC clock, holds its input 1.5 clocks later and ends after 13; the first after switching on takes 25 and holds at 13.5.

import { type Chip, clearBits, type Peripheral, registerAt, setBits, settleInterrupt } from './chip.js';

const [ADCL, ADCH, ADCSRA, ADMUX] = [0x78, 0x79, 0x7a, 0x7c];
const [ADEN, ADSC, ADATE, ADIF] = [0x80, 0x40, 0x20, 0x10];
const DONE = {
  address: 0x2a,
  flagRegister: ADCSRA,
  flagMask: ADIF,
  enableRegister: ADCSRA,
  enableMask: 0x08,
};

export class Adc implements Peripheral {
  private readonly place: number;
  private switchedOnAt = 0;
  private isFirst = true;
  private held: number | undefined;
  private endsAt = 0;
  private input = 0;

  /** @param sample counts of one input now; real-valued. */
  constructor(
    private readonly chip: Chip,
    private readonly sample: (input: number) => number,
  ) {
    const { cpu, agenda } = chip;
    this.place = agenda.register(() => this.step());
    cpu.writeHooks[ADCSRA] = (value, old) => {
      if (value & ADATE) throw new Error('emulated converter: automatic triggering is not there');
      if (value & ADEN && !(old & ADEN)) {
        this.switchedOnAt = cpu.cycles;
        this.isFirst = true;
      }
      const converting = old & ADSC;
      // Writing a one to the flag clears it.
      cpu.data[ADCSRA] = (value & ~(ADSC | ADIF)) | converting | (old & ADIF & ~value);
      settleInterrupt(cpu, DONE);
      if (!(value & ADEN)) {
        clearBits(cpu, ADCSRA, ADSC);
        agenda.cancel(this.place);
      } else if (value & ADSC && !converting) this.start(value & 7);
      return true;
    };
  }

  reset(): void {
    this.chip.agenda.cancel(this.place);
    this.held = undefined;
    this.isFirst = true;
  }

  private start(selection: number): void {
    const { cpu, agenda } = this.chip;
    const divider = selection === 0 ? 2 : 1 << selection;
    const begins = cpu.cycles + divider - ((cpu.cycles - this.switchedOnAt) % divider);
    setBits(cpu, ADCSRA, ADSC);
    this.input = registerAt(cpu, ADMUX) & 0x0f;
    this.held = undefined;
    this.endsAt = begins + divider * (this.isFirst ? 25 : 13);
    agenda.set(this.place, begins + divider * (this.isFirst ? 13.5 : 1.5));
    this.isFirst = false;
  }

  private step(): void {
    const { cpu, agenda } = this.chip;
    if (this.held === undefined) {
      const counts = Math.round(this.sample(this.input));
      // A world that gives no number reads as zero volts would.
      this.held = counts > 0 ? Math.min(counts, 1023) : 0;
      agenda.set(this.place, this.endsAt);
      return;
    }
    cpu.data[ADCL] = this.held & 0xff;
    cpu.data[ADCH] = this.held >> 8;
    clearBits(cpu, ADCSRA, ADSC);
    cpu.setInterruptFlag(DONE);
  }
}
