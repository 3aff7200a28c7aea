// The EEPROM (data sheet, "EEPROM Data Memory"): a write takes 3.4 ms and needs EEMPE at most four cycles before EEPE.

import { byteAt } from '../../arrays/index.js';
import { type Chip, clearBits, type Peripheral, registerAt, setBits } from './chip.js';

const [EECR, EEDR, EEARL, EEARH] = [0x3f, 0x40, 0x41, 0x42];
const [EERE, EEPE, EEMPE] = [0x01, 0x02, 0x04];
const WRITE_S = 3.4e-3;

export class Eeprom implements Peripheral {
  private readonly place: number;
  private masterUntil = -1;

  /** @param cells its memory; it outlives resets. */
  constructor(
    chip: Chip,
    clockHz: number,
    readonly cells: Uint8Array,
  ) {
    const { cpu, agenda } = chip;
    this.place = agenda.register(() => clearBits(cpu, EECR, EEPE));
    cpu.writeHooks[EECR] = (value, old) => {
      const address = ((registerAt(cpu, EEARH) << 8) | registerAt(cpu, EEARL)) % cells.length;
      const busy = old & EEPE;
      cpu.data[EECR] = (value & 0x38) | busy;
      if (value & EEMPE) {
        this.masterUntil = cpu.cycles + 4;
        setBits(cpu, EECR, EEMPE);
      }
      if (busy) return true;
      if (value & EERE) cpu.data[EEDR] = byteAt(cells, address);
      else if (value & EEPE && cpu.cycles <= this.masterUntil) {
        cells[address] = registerAt(cpu, EEDR);
        cpu.data[EECR] = (value & 0x38) | EEPE;
        agenda.set(this.place, cpu.cycles + Math.round(WRITE_S * clockHz));
      }
      return true;
    };
  }

  reset(): void {
    this.masterUntil = -1;
  }
}
