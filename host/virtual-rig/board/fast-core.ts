// Runs the image's frequent instructions from the decoded table, without a call each, and leaves the rest to avr8js. A test
// holds every kind against avr8js over random states; flags are worked out as avr8js does, so that the two are interchangeable.
// The cases are bare numbers (named in decode.ts): only for those does the engine make one jump of the switch, ten times as fast.

import { avrInstruction, type CPU } from 'avr8js';
import { type Decoded, decodeAt, emptyDecoded } from './decode.js';

/** Held here because the package hands out its exports through getters, which cost when asked for each instruction. */
const execute = avrInstruction;
const [SPL, SPH, SREG] = [0x5d, 0x5e, 0x5f];
const [X, I] = [26, 0x80];
/** Below this stand registers, whose reading or writing may have an effect. */
const MEMORY = 0x100;

export class FastCore {
  private readonly decoded: Decoded;
  /** Two-word instructions, over which a skip leaps both words. */
  private readonly isLong: Uint8Array;

  constructor(private readonly cpu: CPU) {
    this.decoded = emptyDecoded(cpu.progMem.length);
    this.isLong = new Uint8Array(cpu.progMem.length);
    for (let pc = 0; pc < cpu.progMem.length; pc++) this.redecode(pc);
  }

  /** To be told of every change of a flash word. */
  redecode(pc: number): void {
    decodeAt(this.decoded, this.cpu.progMem, pc);
    const word = this.cpu.progMem[pc]!;
    this.isLong[pc] = (word & 0xfc0f) === 0x9000 || (word & 0xfe0c) === 0x940c ? 1 : 0;
  }

  /**
   * Runs until `limit` cycles are reached, or after an instruction that may have changed what happens next: a register with
   * an effect was touched, interrupts were switched on, or avr8js had to do it. At least one instruction is run.
   */
  run(limit: number): void {
    const { cpu, isLong } = this;
    const { kind, d: destination, r: source } = this.decoded;
    const { data, progBytes } = cpu;
    let pc = cpu.pc;
    let cycles = cpu.cycles;
    do {
      const d = destination[pc]!;
      const r = source[pc]!;
      switch (kind[pc]) {
        case 1 /* LDS */:
          if (r < MEMORY && cpu.readHooks[r] !== undefined) {
            this.leave(pc, cycles);
            return;
          }
          data[d] = data[r]!;
          pc += 2;
          cycles += 2;
          break;
        case 2 /* STS */:
          if (r < MEMORY) {
            this.leave(pc, cycles);
            return;
          }
          data[r] = data[d]!;
          pc += 2;
          cycles += 2;
          break;
        case 3 /* PUSH */:
          {
            const sp = data[SPL]! | (data[SPH]! << 8);
            data[sp] = data[d]!;
            data[SPL] = sp - 1;
            data[SPH] = (sp - 1) >> 8;
            pc++;
            cycles += 2;
            break;
          }
        case 4 /* POP */:
          {
            const sp = ((data[SPL]! | (data[SPH]! << 8)) + 1) & 0xffff;
            data[SPL] = sp;
            data[SPH] = sp >> 8;
            data[d] = data[sp]!;
            pc++;
            cycles += 2;
            break;
          }
        case 5 /* EOR */:
          data[d] = data[d]! ^ data[r]!;
          data[SREG] = (data[SREG]! & 0xe1) | logicFlags(data[d]!);
          pc++;
          cycles++;
          break;
        case 6 /* AND */:
          data[d] = data[d]! & data[r]!;
          data[SREG] = (data[SREG]! & 0xe1) | logicFlags(data[d]!);
          pc++;
          cycles++;
          break;
        case 7 /* OR */:
          data[d] = data[d]! | data[r]!;
          data[SREG] = (data[SREG]! & 0xe1) | logicFlags(data[d]!);
          pc++;
          cycles++;
          break;
        case 19 /* ANDI */:
          data[d] = data[d]! & r;
          data[SREG] = (data[SREG]! & 0xe1) | logicFlags(data[d]!);
          pc++;
          cycles++;
          break;
        case 20 /* ORI */:
          data[d] = data[d]! | r;
          data[SREG] = (data[SREG]! & 0xe1) | logicFlags(data[d]!);
          pc++;
          cycles++;
          break;
        case 8 /* ADD */:
        case 9 /* ADC */:
          {
            const a = data[d]!;
            const b = data[r]!;
            const sreg = data[SREG]!;
            const sum = a + b + (kind[pc] === 9 /* ADC */ ? sreg & 1 : 0);
            data[d] = sum;
            data[SREG] = (sreg & 0xc0) | addFlags(a, b, sum);
            pc++;
            cycles++;
            break;
          }
        case 10 /* SUB */:
          {
            const a = data[d]!;
            const b = data[r]!;
            data[d] = a - b;
            data[SREG] = (data[SREG]! & 0xc0) | subtractFlags(a, b, a - b);
            pc++;
            cycles++;
            break;
          }
        case 11 /* CP */:
          {
            const a = data[d]!;
            const b = data[r]!;
            data[SREG] = (data[SREG]! & 0xc0) | subtractFlags(a, b, a - b);
            pc++;
            cycles++;
            break;
          }
        case 13 /* SUBI */:
          {
            const a = data[d]!;
            data[d] = a - r;
            data[SREG] = (data[SREG]! & 0xc0) | subtractFlags(a, r, a - r);
            pc++;
            cycles++;
            break;
          }
        case 15 /* CPI */:
          {
            const a = data[d]!;
            data[SREG] = (data[SREG]! & 0xc0) | subtractFlags(a, r, a - r);
            pc++;
            cycles++;
            break;
          }
        case 44 /* SBC */:
        case 12 /* CPC */:
        case 14 /* SBCI */:
          {
            const a = data[d]!;
            const b = kind[pc] === 14 /* SBCI */ ? r : data[r]!;
            const sreg = data[SREG]!;
            const result = a - b - (sreg & 1);
            if (kind[pc] !== 12 /* CPC */) data[d] = result;
            // Zero stays only when it was: so that a chain of bytes tells of the whole number.
            data[SREG] = (sreg & 0xc0) | (subtractFlags(a, b, result) & (sreg | ~2));
            pc++;
            cycles++;
            break;
          }
        case 16 /* LDI */:
          data[d] = r;
          pc++;
          cycles++;
          break;
        case 17 /* MOV */:
          data[d] = data[r]!;
          pc++;
          cycles++;
          break;
        case 18 /* MOVW */:
          data[d] = data[r]!;
          data[d + 1] = data[r + 1]!;
          pc++;
          cycles++;
          break;
        case 21 /* RJMP */:
          pc = r;
          cycles += 2;
          break;
        case 22 /* BRBS */:
          if (data[SREG]! & d) {
            pc = r;
            cycles += 2;
          } else {
            pc++;
            cycles++;
          }
          break;
        case 23 /* BRBC */:
          if (data[SREG]! & d) {
            pc++;
            cycles++;
          } else {
            pc = r;
            cycles += 2;
          }
          break;
        case 24 /* IN */:
          if (cpu.readHooks[r] !== undefined) {
            this.leave(pc, cycles);
            return;
          }
          data[d] = data[r]!;
          pc++;
          cycles++;
          break;
        case 25 /* OUT_SREG */:
          {
            const before = data[SREG]!;
            data[SREG] = data[d]!;
            pc++;
            cycles++;
            if (data[d]! & ~before & I) {
              this.pause(pc, cycles);
              return;
            }
            break;
          }
        case 26 /* LDD_Z */:
        case 27 /* LDD_Y */:
          {
            const base = kind[pc] === 26 /* LDD_Z */ ? X + 4 : X + 2;
            const address = (data[base]! | (data[base + 1]! << 8)) + r;
            if (address < MEMORY) {
              this.leave(pc, cycles);
              return;
            }
            data[d] = data[address]!;
            pc++;
            cycles += 2;
            break;
          }
        case 28 /* STD_Z */:
        case 29 /* STD_Y */:
          {
            const base = kind[pc] === 28 /* STD_Z */ ? X + 4 : X + 2;
            const address = (data[base]! | (data[base + 1]! << 8)) + r;
            if (address < MEMORY) {
              this.leave(pc, cycles);
              return;
            }
            data[address] = data[d]!;
            pc++;
            cycles += 2;
            break;
          }
        case 32 /* LD_Z_INC */:
          {
            const address = data[30]! | (data[31]! << 8);
            if (address < MEMORY) {
              this.leave(pc, cycles);
              return;
            }
            data[d] = data[address]!;
            data[30] = address + 1;
            data[31] = (address + 1) >> 8;
            pc++;
            cycles += 2;
            break;
          }
        case 30 /* LPM_Z */:
          data[d] = progBytes[data[30]! | (data[31]! << 8)]!;
          pc++;
          cycles += 3;
          break;
        case 31 /* LPM_Z_INC */:
          {
            const address = data[30]! | (data[31]! << 8);
            data[d] = progBytes[address]!;
            data[30] = address + 1;
            data[31] = (address + 1) >> 8;
            pc++;
            cycles += 3;
            break;
          }
        case 33 /* LSR */:
          {
            const a = data[d]!;
            data[d] = a >> 1;
            data[SREG] = (data[SREG]! & 0xe0) | shiftFlags(a, a >> 1);
            pc++;
            cycles++;
            break;
          }
        case 34 /* ROR */:
          {
            const a = data[d]!;
            const result = (a >> 1) | ((data[SREG]! & 1) << 7);
            data[d] = result;
            data[SREG] = (data[SREG]! & 0xe0) | shiftFlags(a, result);
            pc++;
            cycles++;
            break;
          }
        case 35 /* SWAP */:
          {
            const a = data[d]!;
            data[d] = (a << 4) | (a >> 4);
            pc++;
            cycles++;
            break;
          }
        case 36 /* CALL */:
          {
            const sp = data[SPL]! | (data[SPH]! << 8);
            data[sp] = pc + 2;
            data[sp - 1] = (pc + 2) >> 8;
            data[SPL] = sp - 2;
            data[SPH] = (sp - 2) >> 8;
            pc = r;
            cycles += 4;
            break;
          }
        case 37 /* RET */:
          {
            const sp = (data[SPL]! | (data[SPH]! << 8)) + 2;
            data[SPL] = sp;
            data[SPH] = sp >> 8;
            pc = ((data[sp - 1]! << 8) | data[sp]!) & 0x3fff;
            cycles += 4;
            break;
          }
        case 38 /* RETI */:
          {
            const sp = (data[SPL]! | (data[SPH]! << 8)) + 2;
            data[SPL] = sp;
            data[SPH] = sp >> 8;
            data[SREG]! |= I;
            this.pause(((data[sp - 1]! << 8) | data[sp]!) & 0x3fff, cycles + 4);
            return;
          }
        case 42 /* JMP */:
          pc = r;
          cycles += 3;
          break;
        case 43 /* CLI */:
          data[SREG]! &= ~I;
          pc++;
          cycles++;
          break;
        case 39 /* CPSE */:
          if (data[d] === data[r]) {
            cycles += 1 + isLong[pc + 1]!;
            pc += 1 + isLong[pc + 1]!;
          }
          pc++;
          cycles++;
          break;
        case 40 /* SBRC */:
        case 41 /* SBRS */:
          if (((data[d]! & r) !== 0) === (kind[pc] === 41) /* SBRS */) {
            cycles += 1 + isLong[pc + 1]!;
            pc += 1 + isLong[pc + 1]!;
          }
          pc++;
          cycles++;
          break;
        case 45 /* SBIC */:
        case 46 /* SBIS */:
          if (cpu.readHooks[r] !== undefined) {
            this.leave(pc, cycles);
            return;
          }
          if (((data[r]! & d) !== 0) === (kind[pc] === 46) /* SBIS */) {
            cycles += 1 + isLong[pc + 1]!;
            pc += 1 + isLong[pc + 1]!;
          }
          pc++;
          cycles++;
          break;
        default: {
          this.leave(pc, cycles);
          return;
        }
      }
    } while (cycles < limit);
    this.pause(pc, cycles);
  }

  private pause(pc: number, cycles: number): void {
    this.cpu.pc = pc;
    this.cpu.cycles = cycles;
  }

  private leave(pc: number, cycles: number): void {
    this.cpu.pc = pc;
    this.cpu.cycles = cycles;
    execute(this.cpu);
  }
}

/** Zero, negative and sign after AND, OR, EOR; overflow is cleared. */
function logicFlags(result: number): number {
  return result === 0 ? 2 : result & 128 ? 0x14 : 0;
}

function addFlags(a: number, b: number, sum: number): number {
  const result = sum & 255;
  const negative = result & 128 ? 4 : 0;
  const overflow = (result ^ b) & (a ^ result) & 128 ? 8 : 0;
  const sign = (negative >> 2) ^ (overflow >> 3) ? 0x10 : 0;
  const half = 1 & ((a & b) | (b & ~result) | (~result & a)) ? 0x20 : 0;
  return (result === 0 ? 2 : 0) | negative | overflow | sign | half | (sum >> 8);
}

/** `result` before it is cut to eight bits. */
function subtractFlags(a: number, b: number, result: number): number {
  const negative = result & 128 ? 4 : 0;
  const overflow = (a ^ b) & (a ^ result) & 128 ? 8 : 0;
  const sign = (negative >> 2) ^ (overflow >> 3) ? 0x10 : 0;
  const half = 1 & ((~a & b) | (b & result) | (result & ~a)) ? 0x20 : 0;
  return (result === 0 ? 2 : 0) | negative | overflow | sign | half | (result < 0 ? 1 : 0);
}

function shiftFlags(before: number, result: number): number {
  const negative = result & 128 ? 4 : 0;
  const carry = before & 1;
  const overflow = (negative >> 2) ^ carry ? 8 : 0;
  const sign = (negative >> 2) ^ (overflow >> 3) ? 0x10 : 0;
  return (result === 0 ? 2 : 0) | negative | carry | overflow | sign;
}
