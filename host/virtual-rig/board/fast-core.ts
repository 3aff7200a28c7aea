// Runs the image's frequent instructions from the decoded table, without a call each, and leaves the rest to avr8js. A test
// holds every kind against avr8js over random states; flags are worked out as avr8js does, so that the two are interchangeable.
// The cases are bare numbers (named in decode.ts): only for those does the engine make one jump of the switch, ten times as fast.

import { avrInstruction, type CPU } from 'avr8js';
import { decodedAt, KIND_BITS, LONG, REGISTER } from './decode.js';

/** Held here because the package hands out its exports through getters, which cost when asked for each instruction. */
const execute = avrInstruction;
const [SP, SREG] = [0x5d, 0x5f];
const [Y, Z] = [28, 30];
/** Flags: zero, and interrupts on. */
const [ZERO, I] = [0x02, 0x80];
/** Below this stand registers, whose reading or writing may have an effect. */
const MEMORY = 0x100;
/** Of one call, so that their count stays a small integer. */
const MOST_CYCLES = 2 ** 30;
/** Addresses of the flash, in words. */
const WORDS = 0x3fff;

export class FastCore {
  /** Four bytes a flash word. */
  private readonly program: DataView;
  private readonly flash: DataView;

  constructor(private readonly cpu: CPU) {
    this.program = new DataView(new ArrayBuffer(4 * cpu.progMem.length));
    this.flash = new DataView(cpu.progMem.buffer);
    for (let pc = 0; pc < cpu.progMem.length; pc++) this.decode(pc);
  }

  /** To be told of every change of a flash word. */
  redecode(pc: number): void {
    this.decode(pc);
    // The word in front may take this one as its second, or leap it.
    if (pc > 0) this.decode(pc - 1);
  }

  private decode(pc: number): void {
    this.program.setInt32(4 * pc, decodedAt(this.cpu.progMem, pc), true);
  }

  /**
   * Runs until `limit` cycles are reached, or after an instruction that may have changed what happens next: a register with
   * an effect was touched, interrupts were switched on, or avr8js had to do it. At least one instruction is run.
   */
  run(limit: number): void {
    const { cpu, program, flash } = this;
    // Views, since the engine reads them in place, and they give a number or throw.
    const { data, dataView: ram, readHooks } = cpu;
    const end = data.length;
    const flashEnd = cpu.progBytes.length;
    // Of a stack that two bytes can be taken from; one elsewhere is a fault of the image, and avr8js's own.
    const top = end - 3;
    let { pc } = cpu;
    // Flags and stack pointer stand here while the loop runs, and in their registers before anyone else looks.
    let sreg = ram.getUint8(SREG);
    let sp = ram.getUint16(SP, true);
    // Counted from here in whole numbers, which the engine adds faster than a clock that has run for minutes.
    let ran = 0;
    let most = Math.ceil(Math.min(limit - cpu.cycles, MOST_CYCLES));
    // Leaving the loop leaves the instruction to avr8js.
    let isLeft = true;
    loop: for (;;) {
      const word = program.getInt32(4 * pc, true);
      const kind = word & KIND_BITS;
      const d = (word >> 8) & 0xff;
      const r = word >>> 16;
      const a = ram.getUint8(d);
      const b = word & REGISTER ? ram.getUint8(r) : r;
      let next = pc + 1;
      let took = 1;
      switch (kind) {
        case 1 /* LDS */:
        case 19 /* IN */:
          if (r < MEMORY) {
            if (readHooks[r] !== undefined) break loop;
            ram.setUint16(SP, sp, true);
            data[SREG] = sreg;
          } else if (r >= end) break loop;
          data[d] = ram.getUint8(r);
          if (kind === 1 /* LDS */) {
            next++;
            took = 2;
          }
          break;
        case 2 /* STS */:
          if (r < MEMORY) break loop;
          data[r] = a;
          next++;
          took = 2;
          break;
        case 3 /* PUSH */:
          if (sp < MEMORY || sp > top) break loop;
          data[sp] = a;
          sp--;
          took = 2;
          break;
        case 4 /* POP */:
          if (sp < MEMORY || sp > top) break loop;
          sp++;
          data[d] = ram.getUint8(sp);
          took = 2;
          break;
        case 5 /* EOR */:
          data[d] = a ^ b;
          sreg = (sreg & 0xe1) | signFlags(a ^ b, 0);
          break;
        case 6 /* AND, ANDI */:
          data[d] = a & b;
          sreg = (sreg & 0xe1) | signFlags(a & b, 0);
          break;
        case 7 /* OR, ORI */:
          data[d] = a | b;
          sreg = (sreg & 0xe1) | signFlags(a | b, 0);
          break;
        case 8 /* ADD */:
        case 9 /* ADC */:
          {
            const sum = a + b + (kind === 9 /* ADC */ ? sreg & 1 : 0);
            data[d] = sum;
            sreg = (sreg & 0xc0) | addFlags(a, b, sum);
            break;
          }
        case 10 /* SUB, SUBI */:
          data[d] = a - b;
          sreg = (sreg & 0xc0) | subtractFlags(a, b, a - b);
          break;
        case 11 /* CP, CPI */:
          sreg = (sreg & 0xc0) | subtractFlags(a, b, a - b);
          break;
        case 12 /* CPC */:
        case 13 /* SBC, SBCI */:
          {
            const result = a - b - (sreg & 1);
            if (kind === 13 /* SBC, SBCI */) data[d] = result;
            // Zero stays only when it was: so that a chain of bytes tells of the whole number.
            sreg = (sreg & 0xc0) | (subtractFlags(a, b, result) & (sreg | ~ZERO));
            break;
          }
        case 14 /* LDI, MOV */:
          data[d] = b;
          break;
        case 15 /* MOVW */:
          ram.setUint16(d, ram.getUint16(r));
          break;
        case 16 /* RJMP */:
          next = r;
          took = 2;
          break;
        case 17 /* BRBS */:
          if (sreg & d) {
            next = r;
            took = 2;
          }
          break;
        case 18 /* BRBC */:
          if (!(sreg & d)) {
            next = r;
            took = 2;
          }
          break;
        case 20 /* OUT_SREG */:
          // An interrupt that waits comes next.
          if (a & ~sreg & I) most = 0;
          sreg = a;
          break;
        case 21 /* LDD_Z */:
        case 22 /* LDD_Y */:
          {
            const address = ram.getUint16(kind === 21 /* LDD_Z */ ? Z : Y, true) + r;
            if (address < MEMORY || address >= end) break loop;
            data[d] = ram.getUint8(address);
            took = 2;
            break;
          }
        case 23 /* STD_Z */:
        case 24 /* STD_Y */:
          {
            const address = ram.getUint16(kind === 23 /* STD_Z */ ? Z : Y, true) + r;
            if (address < MEMORY || address >= end) break loop;
            data[address] = a;
            took = 2;
            break;
          }
        case 25 /* LD_Z_INC */:
          {
            const address = ram.getUint16(Z, true);
            if (address < MEMORY || address >= end) break loop;
            data[d] = ram.getUint8(address);
            ram.setUint16(Z, address + 1, true);
            took = 2;
            break;
          }
        case 26 /* LPM_Z */:
        case 27 /* LPM_Z_INC */:
          {
            const address = ram.getUint16(Z, true);
            if (address >= flashEnd) break loop;
            data[d] = flash.getUint8(address);
            if (kind === 27 /* LPM_Z_INC */) ram.setUint16(Z, address + 1, true);
            took = 3;
            break;
          }
        case 28 /* LSR */:
          data[d] = a >> 1;
          sreg = (sreg & 0xe0) | shiftFlags(a, a >> 1);
          break;
        case 29 /* ROR */:
          {
            const result = (a >> 1) | ((sreg & 1) << 7);
            data[d] = result;
            sreg = (sreg & 0xe0) | shiftFlags(a, result);
            break;
          }
        case 30 /* SWAP */:
          data[d] = (a << 4) | (a >> 4);
          break;
        case 31 /* CALL */:
          if (sp <= MEMORY || sp > top) break loop;
          ram.setUint16(sp - 1, pc + 2);
          sp -= 2;
          next = r;
          took = 4;
          break;
        case 32 /* RET */:
          if (sp < MEMORY || sp > top) break loop;
          next = ram.getUint16(sp + 1) & WORDS;
          sp += 2;
          took = 4;
          break;
        case 33 /* RETI */:
          if (sp < MEMORY || sp > top) break loop;
          next = ram.getUint16(sp + 1) & WORDS;
          sp += 2;
          sreg |= I;
          most = 0;
          took = 4;
          break;
        case 34 /* CPSE */:
          if (a === b) took = word & LONG ? 3 : 2;
          next = pc + took;
          break;
        case 35 /* SBRC */:
          if (!(a & r)) took = word & LONG ? 3 : 2;
          next = pc + took;
          break;
        case 36 /* SBRS */:
          if (a & r) took = word & LONG ? 3 : 2;
          next = pc + took;
          break;
        case 37 /* SBIC */:
        case 38 /* SBIS */:
          if (readHooks[r] !== undefined) break loop;
          if (((ram.getUint8(r) & d) !== 0) === (kind === 38) /* SBIS */) took = word & LONG ? 3 : 2;
          next = pc + took;
          break;
        case 39 /* JMP */:
          next = r;
          took = 3;
          break;
        case 40 /* CLI */:
          sreg &= ~I;
          break;
        default:
          break loop;
      }
      pc = next;
      ran += took;
      if (ran >= most) {
        isLeft = false;
        break;
      }
    }
    ram.setUint16(SP, sp, true);
    data[SREG] = sreg;
    cpu.pc = pc;
    cpu.cycles += ran;
    if (isLeft) execute(cpu);
  }
}

/** Zero of a result, negative by its bit 7, overflow by that of `overflow`, and sign, which is one of the two alone. */
function signFlags(result: number, overflow: number): number {
  const n = result & 0x80;
  const v = overflow & 0x80;
  return (result & 0xff ? 0 : ZERO) | (n >> 5) | (v >> 4) | ((n ^ v) >> 3);
}

/** Of a sum or difference before it is cut to eight bits: `carries` has the carry out of each; half carry as avr8js has it. */
const carryFlags = (result: number, carries: number): number => ((carries & 1) << 5) | ((result >> 8) & 1);

const addFlags = (a: number, b: number, sum: number): number =>
  signFlags(sum, (sum ^ b) & (a ^ sum)) | carryFlags(sum, (a & b) | (b & ~sum) | (~sum & a));

const subtractFlags = (a: number, b: number, result: number): number =>
  signFlags(result, (a ^ b) & (a ^ result)) | carryFlags(result, (~a & b) | (b & result) | (result & ~a));

function shiftFlags(before: number, result: number): number {
  const carry = before & 1;
  return signFlags(result, result ^ (carry << 7)) | carry;
}
