// The watchdog in reset mode (data sheet, "Watchdog System Reset"): its own 128 kHz oscillator, a timed sequence to change it.

import { type Chip, type Peripheral, registerAt } from './chip.js';

const [MCUSR, WDTCSR] = [0x54, 0x60];
const [WDIE, WDCE, WDE, WDRF] = [0x40, 0x10, 0x08, 0x08];
const OSCILLATOR_HZ = 128_000;

export class Watchdog implements Peripheral {
  private readonly place: number;
  private changeUntil = -1;

  constructor(
    private readonly chip: Chip,
    private readonly clockHz: number,
    private readonly onBite: () => void,
  ) {
    const { cpu, agenda } = chip;
    this.place = agenda.register(() => this.onBite());
    cpu.onWatchdogReset = () => this.restart();
    cpu.writeHooks[WDTCSR] = (value, old) => {
      if (value & WDIE) throw new Error('emulated watchdog: its interrupt mode is not there');
      if (value & WDCE && value & WDE) {
        // Four cycles from this write on the settings may change.
        this.changeUntil = cpu.cycles + 5;
        cpu.data[WDTCSR] = old | WDCE;
        return true;
      }
      let settings = value & 0x2f;
      if (cpu.cycles > this.changeUntil) settings = old & 0x2f;
      // After a watchdog reset WDE is forced on while WDRF stands.
      if (registerAt(cpu, MCUSR) & WDRF) settings |= WDE;
      cpu.data[WDTCSR] = settings;
      this.changeUntil = -1;
      this.restart();
      return true;
    };
  }

  reset(): void {
    const { cpu } = this.chip;
    cpu.data[WDTCSR] = registerAt(cpu, MCUSR) & WDRF ? WDE : 0;
    this.changeUntil = -1;
    this.restart();
  }

  private restart(): void {
    const { cpu, agenda } = this.chip;
    const settings = registerAt(cpu, WDTCSR);
    if (!(settings & WDE)) {
      agenda.cancel(this.place);
      return;
    }
    const selection = (settings & 7) | ((settings & 0x20) >> 2);
    agenda.set(this.place, cpu.cycles + ((2048 << selection) / OSCILLATOR_HZ) * this.clockHz);
  }
}
