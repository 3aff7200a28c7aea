// The rig's controller board: the shipped image on an emulated ATmega328P, its pins and converter joined to a world.
// The instruction set is avr8js; the peripherals around it stand in the files beside this one.

import { CPU } from 'avr8js';
import { wordAt } from '../../arrays/index.js';
import { Adc } from './adc.js';
import { Agenda } from './agenda.js';
import { type Peripheral, registerAt } from './chip.js';
import { Eeprom } from './eeprom.js';
import { FastCore } from './fast-core.js';
import { readIntelHex } from './intel-hex.js';
import { PORT_B, PORT_D, Port } from './port.js';
import { Timer1 } from './timer1.js';
import { Usart0 } from './usart0.js';
import { Watchdog } from './watchdog.js';

/** Levels of the output pins. */
export interface BoardOutputs {
  feedLimited: boolean;
  feedFull: boolean;
  throwForward: boolean;
  throwReverse: boolean;
  /** The coils' feed goes straight, past its limiter; never on an image before 1.2. */
  coilFull: boolean;
}

/** What the board is wired to. Times are true seconds since the board was made and never run backwards. */
export interface BoardWorld {
  outputsChanged(atS: number, outputs: BoardOutputs): void;
  /** Real-valued converter reading of input 0 to 7 at the instant it is held; the board rounds and clips to 0..1023. */
  adcCounts(channel: number, atS: number): number;
  /** Whether the feed to the unit has voltage; a world without it is a rig without that sense. */
  feedBusIsLive?(): boolean;
}

export interface EmulatedBoardOptions {
  /** Flash bytes from address 0, or the text of an Intel HEX file. */
  image: Uint8Array | string;
  world: BoardWorld;
  /** Error of the board's crystal: at +1000 its millisecond is 0.999 ms long. */
  clockErrorPpm?: number;
  /** As its straps tell it; 1 for a rig built before there were any. Default: that of RIG.md, where the world has the sense that goes with it. */
  hardwareRevision?: number;
  /** EEPROM contents, shared so that they outlive the board; erased when absent. */
  eeprom?: Uint8Array;
}

export type ResetCause = 'power-on' | 'external' | 'watchdog';

const NOMINAL_HZ = 16_000_000;
const FLASH_BYTES = 32_768;
const RAM_BYTES = 2048;
const REGISTERS_END = 0x100;
const [SMCR, MCUSR, SREG] = [0x53, 0x54, 0x5f];
const [SLEEP_ENABLED, INTERRUPTS_ON] = [0x01, 0x80];
const CAUSE_FLAG: Record<ResetCause, number> = { 'power-on': 0x01, external: 0x02, watchdog: 0x08 };
const [SLEEP, SEI, JUMP_TO_SELF] = [0x9588, 0x9478, 0xcfff];
const STOP_LOOP_PIN = 2;
const FEED_BUS_PIN = 3;
/** Input of the motor current, which is sampled most often: the feed bus is looked at with it. */
const OFTEN_INPUT = 0;
/** Pins that drive the outputs (RIG.md). */
const PINS = { feedLimited: 0x10, feedFull: 0x20, throwForward: 0x40, throwReverse: 0x80 };
const OUTPUT_PINS = 0xf0;
const COIL_FULL_PIN = 0x01;
/** Straps on port B, by what each counts. */
const STRAPS = { 1: 1, 2: 2 } as const;
/** Of RIG.md. */
export const HARDWARE_REVISION = 2;
const NEWLINE = 0x0a;

/** Of memory at an address, as the board finds it. */
const powerOnByte = (address: number): number => (address * 181 + 59) & 0xff;

export class EmulatedBoard {
  /** Bytes that have left the board: at each newline, and what is left at the end of `run`. */
  onTransmit: (bytes: Uint8Array) => void = () => {};
  /** Every write to the output port, changed or not, with the cycle and the levels: for monitors. */
  onOutputWrite: ((cycle: number, outputs: BoardOutputs) => void) | undefined;
  /** Every conversion as the firmware will read it: for monitors. */
  onSample: ((cycle: number, input: number, counts: number) => void) | undefined;
  onReset: ((cause: ResetCause) => void) | undefined;
  readonly clockHz: number;

  private readonly cpu: CPU;
  private readonly core: FastCore;
  private readonly agenda = new Agenda();
  private readonly portD: Port;
  private readonly portB: Port;
  private readonly usart: Usart0;
  private readonly peripherals: Peripheral[];
  private readonly world: BoardWorld;
  private outputs = 0;
  private coilFull = false;
  private busIsLive = false;
  private sleeping = false;
  private sent: number[] = [];
  private stallWanted = false;
  private stalled: { at: number; word: number } | undefined;

  constructor({
    image,
    world,
    clockErrorPpm = 0,
    hardwareRevision = world.feedBusIsLive === undefined ? 1 : HARDWARE_REVISION,
    eeprom = new Uint8Array(1024).fill(0xff),
  }: EmulatedBoardOptions) {
    const bytes = typeof image === 'string' ? readIntelHex(image) : image;
    const flash = new Uint8Array(FLASH_BYTES).fill(0xff);
    flash.set(bytes);
    this.world = world;
    this.clockHz = NOMINAL_HZ * (1 + clockErrorPpm * 1e-6);
    this.cpu = new CPU(new Uint16Array(flash.buffer), RAM_BYTES);
    this.core = new FastCore(this.cpu);
    const chip = { cpu: this.cpu, agenda: this.agenda };
    this.portD = new Port(chip, PORT_D);
    this.portB = new Port(chip, PORT_B);
    this.usart = new Usart0(chip, (byte) => this.transmitted(byte));
    this.peripherals = [
      this.portD,
      this.portB,
      this.usart,
      new Timer1(chip),
      new Adc(chip, (input) => this.convert(input)),
      new Watchdog(chip, NOMINAL_HZ, () => this.reset('watchdog')),
      new Eeprom(chip, NOMINAL_HZ, eeprom),
    ];
    this.portD.onWrite = (drivenHigh) => this.driven(drivenHigh, this.coilFull);
    this.portB.onWrite = (drivenHigh) => this.driven(this.outputs, (drivenHigh & COIL_FULL_PIN) !== 0);
    for (const [counts, bit] of Object.entries(STRAPS))
      this.portB.setPin(bit, ((hardwareRevision - 1) & Number(counts)) === 0);
    // Memory is not zero at power-on; a pattern, so that a forgotten initialisation shows and every run is the same.
    for (let i = REGISTERS_END; i < this.cpu.data.length; i++) this.cpu.data[i] = powerOnByte(i);
    this.setFeedBus(false);
    this.reset('power-on');
  }

  /** Bytes of memory in a row that nothing has written to since power-on: what variables and the deepest stack have left. */
  get untouchedBytes(): number {
    let most = 0;
    for (let i = REGISTERS_END, run = 0; i < this.cpu.data.length; i++) {
      run = this.cpu.data[i] === powerOnByte(i) ? run + 1 : 0;
      most = Math.max(most, run);
    }
    return most;
  }

  /** True seconds since the board was made. */
  get timeS(): number {
    return this.cpu.cycles / this.clockHz;
  }

  get cycles(): number {
    return this.cpu.cycles;
  }

  /** Runs until the true time `untilS`; the last instruction may end a few cycles later. */
  run(untilS: number): void {
    this.runCycles(untilS * this.clockHz);
    this.flush();
  }

  /** Bytes from the host, which arrive one by one at the line's rate from now on; as noise they come without stop bit. */
  receive(bytes: Uint8Array, isFramed = true): void {
    this.usart.receive(bytes, isFramed);
  }

  setStopLoop(closed: boolean): void {
    this.portD.setPin(STOP_LOOP_PIN, !closed);
  }

  setFeedBus(live: boolean): void {
    this.portD.setPin(FEED_BUS_PIN, !live);
  }

  /** As by the reset pin; opening a serial port does it on such boards. */
  reset(cause: ResetCause = 'external'): void {
    const { cpu } = this;
    const flags = (cause === 'power-on' ? 0 : registerAt(cpu, MCUSR)) | CAUSE_FLAG[cause];
    if (this.stalled) this.patch(this.stalled.at, this.stalled.word);
    this.stalled = undefined;
    this.stallWanted = false;
    this.sleeping = false;
    this.agenda.clear();
    cpu.data.fill(0, 0x20, REGISTERS_END);
    cpu.reset();
    cpu.data[MCUSR] = flags;
    for (const peripheral of this.peripherals) peripheral.reset();
    this.onReset?.(cause);
  }

  /** Makes the main loop stand still with its interrupts running, as a bug would; a reset ends it. */
  stallMainLoop(): void {
    this.stallWanted = true;
    this.sleeping = false;
  }

  private runCycles(until: number): void {
    const { cpu, agenda } = this;
    while (cpu.cycles < until) {
      if (this.sleeping) {
        this.sleep(until);
        continue;
      }
      const opcode = wordAt(cpu.progMem, cpu.pc);
      if (opcode === SLEEP && registerAt(cpu, SMCR) & SLEEP_ENABLED) {
        cpu.pc++;
        cpu.cycles++;
        this.sleeping = true;
      } else if (cpu.nextInterrupt >= 0 && this.takesInterrupts) {
        // Only after SEI: the one instruction that comes before the interrupt waiting.
        this.core.run(cpu.cycles + 1);
      } else this.core.run(Math.min(agenda.next, until));
      if (agenda.next <= cpu.cycles) agenda.run(cpu.cycles);
      // An interrupt comes one instruction after SEI at the earliest (data sheet, "Reset and Interrupt Handling").
      if (cpu.nextInterrupt >= 0 && this.takesInterrupts && opcode !== SEI) this.interrupt();
      else if (this.stallWanted && this.takesInterrupts) this.stall();
    }
  }

  private get takesInterrupts(): boolean {
    return (registerAt(this.cpu, SREG) & INTERRUPTS_ON) !== 0;
  }

  /** To the next appointment, before which nothing happens, or to `until`; an interrupt that waits wakes at once. */
  private sleep(until: number): void {
    const { cpu, agenda } = this;
    if (cpu.nextInterrupt >= 0) {
      this.sleeping = false;
      if (this.takesInterrupts) this.interrupt();
    } else if (agenda.next > until) cpu.cycles = Math.ceil(until);
    else {
      if (agenda.next > cpu.cycles) cpu.cycles = Math.ceil(agenda.next);
      agenda.run(cpu.cycles);
    }
  }

  private interrupt(): void {
    this.sleeping = false;
    this.cpu.tick();
    // avr8js counts two of the four cycles of an entry (data sheet, "Interrupt Response Time").
    this.cpu.cycles += 2;
  }

  private stall(): void {
    this.stallWanted = false;
    this.stalled = { at: this.cpu.pc, word: wordAt(this.cpu.progMem, this.cpu.pc) };
    this.patch(this.cpu.pc, JUMP_TO_SELF);
  }

  private patch(at: number, word: number): void {
    this.cpu.progMem[at] = word;
    this.core.redecode(at);
  }

  private convert(input: number): number {
    const counts = this.world.adcCounts(input, this.timeS);
    if (input === OFTEN_INPUT && this.world.feedBusIsLive) this.followFeedBus(this.world.feedBusIsLive());
    this.onSample?.(this.cpu.cycles, input, counts);
    return counts;
  }

  private followFeedBus(live: boolean): void {
    if (live === this.busIsLive) return;
    this.busIsLive = live;
    this.setFeedBus(live);
  }

  private driven(high: number, coilFull: boolean): void {
    if (high === this.outputs && coilFull === this.coilFull && this.onOutputWrite === undefined) return;
    const outputs = {
      feedLimited: (high & PINS.feedLimited) !== 0,
      feedFull: (high & PINS.feedFull) !== 0,
      throwForward: (high & PINS.throwForward) !== 0,
      throwReverse: (high & PINS.throwReverse) !== 0,
      coilFull,
    };
    this.onOutputWrite?.(this.cpu.cycles, outputs);
    const changed = ((high ^ this.outputs) & OUTPUT_PINS) !== 0 || coilFull !== this.coilFull;
    this.outputs = high;
    this.coilFull = coilFull;
    if (changed) this.world.outputsChanged(this.timeS, outputs);
  }

  private transmitted(byte: number): void {
    this.sent.push(byte);
    if (byte === NEWLINE) this.flush();
  }

  private flush(): void {
    if (this.sent.length === 0) return;
    const bytes = Uint8Array.from(this.sent);
    this.sent = [];
    this.onTransmit(bytes);
  }
}
