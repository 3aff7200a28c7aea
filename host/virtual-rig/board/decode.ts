// Flash words taken apart once, so that running them costs one table look-up instead of a search through masks.
// Only what the rig's image runs often has a kind of its own; all else is OTHER and goes to avr8js.

import { wordAt } from '../../arrays/index.js';

/** Kinds of instruction by the names of the AVR instruction set manual; fast-core.ts has them as bare numbers, see there. */
export const KIND = {
  OTHER: 0,
  LDS: 1,
  STS: 2,
  PUSH: 3,
  POP: 4,
  EOR: 5,
  AND: 6,
  OR: 7,
  ADD: 8,
  ADC: 9,
  SUB: 10,
  CP: 11,
  CPC: 12,
  SBC: 13,
  MOV: 14,
  MOVW: 15,
  RJMP: 16,
  BRBS: 17,
  BRBC: 18,
  IN: 19,
  OUT_SREG: 20,
  LDD_Z: 21,
  LDD_Y: 22,
  STD_Z: 23,
  STD_Y: 24,
  LD_Z_INC: 25,
  LPM_Z: 26,
  LPM_Z_INC: 27,
  LSR: 28,
  ROR: 29,
  SWAP: 30,
  CALL: 31,
  RET: 32,
  RETI: 33,
  CPSE: 34,
  SBRC: 35,
  SBRS: 36,
  SBIC: 37,
  SBIS: 38,
  JMP: 39,
  CLI: 40,
} as const;

/** Of a decoded word, which is (r << 16) | (d << 8) | LONG | REGISTER | kind. */
export const KIND_BITS = 0x3f;
/** `r` is a register, not a constant or a place. */
export const REGISTER = 0x40;
/** The word behind it belongs to an instruction of two words, and a skip leaps both. */
export const LONG = 0x80;

/** Takes an operand out of a word, its place, and the word behind it. */
type Operand = (op: number, pc: number, second: number) => number;
/** Addresses of the flash, in words. */
const WORDS = 0x3fff;
const none: Operand = () => 0;
const d5: Operand = (op) => (op & 0x1f0) >> 4;
const r5: Operand = (op) => (op & 0xf) | ((op & 0x200) >> 5);
const d4: Operand = (op) => ((op & 0xf0) >> 4) + 16;
const k8: Operand = (op) => (op & 0xf) | ((op & 0xf00) >> 4);
const dPair: Operand = (op) => ((op & 0xf0) >> 4) * 2;
const rPair: Operand = (op) => (op & 0xf) * 2;
const displacement: Operand = (op) => (op & 7) | ((op & 0xc00) >> 7) | ((op & 0x2000) >> 8);
const io6: Operand = (op) => ((op & 0xf) | ((op & 0x600) >> 5)) + 32;
const io5: Operand = (op) => ((op & 0xf8) >> 3) + 32;
const bit: Operand = (op) => 1 << (op & 7);
const near: Operand = (op, pc) => (pc + 1 + (((op & 0x1f8) >> 3) - (op & 0x200 ? 0x40 : 0))) & WORDS;
const far: Operand = (op, pc) => (pc + 1 + ((op & 0x7ff) - (op & 0x800 ? 0x800 : 0))) & WORDS;
const address: Operand = (_op, _pc, second) => second;
const target: Operand = (_op, _pc, second) => second & WORDS;

/** Encodings of the manual: the bits that a word of the kind has under the mask, and where its operands stand. */
const ENCODINGS: readonly (readonly [mask: number, bits: number, kind: number, d?: Operand, r?: Operand])[] =
  [
    [0xfc00, 0x0400, KIND.CPC, d5, r5],
    [0xfc00, 0x0800, KIND.SBC, d5, r5],
    [0xfc00, 0x0c00, KIND.ADD, d5, r5],
    [0xfc00, 0x1000, KIND.CPSE, d5, r5],
    [0xfc00, 0x1400, KIND.CP, d5, r5],
    [0xfc00, 0x1800, KIND.SUB, d5, r5],
    [0xfc00, 0x1c00, KIND.ADC, d5, r5],
    [0xfc00, 0x2000, KIND.AND, d5, r5],
    [0xfc00, 0x2400, KIND.EOR, d5, r5],
    [0xfc00, 0x2800, KIND.OR, d5, r5],
    [0xfc00, 0x2c00, KIND.MOV, d5, r5],
    [0xf000, 0x3000, KIND.CP, d4, k8],
    [0xf000, 0x4000, KIND.SBC, d4, k8],
    [0xf000, 0x5000, KIND.SUB, d4, k8],
    [0xf000, 0x6000, KIND.OR, d4, k8],
    [0xf000, 0x7000, KIND.AND, d4, k8],
    [0xf000, 0xe000, KIND.MOV, d4, k8],
    [0xff00, 0x0100, KIND.MOVW, dPair, rPair],
    [0xf000, 0xc000, KIND.RJMP, none, far],
    [0xfc00, 0xf000, KIND.BRBS, bit, near],
    [0xfc00, 0xf400, KIND.BRBC, bit, near],
    [0xfe08, 0xfc00, KIND.SBRC, d5, bit],
    [0xfe08, 0xfe00, KIND.SBRS, d5, bit],
    [0xff00, 0x9900, KIND.SBIC, bit, io5],
    [0xff00, 0x9b00, KIND.SBIS, bit, io5],
    [0xf800, 0xb000, KIND.IN, d5, io6],
    [0xfe0f, 0xbe0f, KIND.OUT_SREG, d5],
    [0xfe0f, 0x9000, KIND.LDS, d5, address],
    [0xfe0f, 0x9200, KIND.STS, d5, address],
    [0xfe0f, 0x900f, KIND.POP, d5],
    [0xfe0f, 0x920f, KIND.PUSH, d5],
    [0xfe0f, 0x9001, KIND.LD_Z_INC, d5],
    [0xfe0f, 0x9004, KIND.LPM_Z, d5],
    [0xfe0f, 0x9005, KIND.LPM_Z_INC, d5],
    [0xd208, 0x8000, KIND.LDD_Z, d5, displacement],
    [0xd208, 0x8008, KIND.LDD_Y, d5, displacement],
    [0xd208, 0x8200, KIND.STD_Z, d5, displacement],
    [0xd208, 0x8208, KIND.STD_Y, d5, displacement],
    [0xfe0f, 0x9402, KIND.SWAP, d5],
    [0xfe0f, 0x9406, KIND.LSR, d5],
    [0xfe0f, 0x9407, KIND.ROR, d5],
    [0xfe0e, 0x940e, KIND.CALL, none, target],
    [0xfe0e, 0x940c, KIND.JMP, none, target],
    [0xffff, 0x9508, KIND.RET],
    [0xffff, 0x9518, KIND.RETI],
    [0xffff, 0x94f8, KIND.CLI],
  ];

/** The word at `pc` taken apart: its kind, and beside it d, a register or a bit, and r, a register, constant or place. */
export function decodedAt(flash: Uint16Array, pc: number): number {
  const op = wordAt(flash, pc);
  const second = wordAt(flash, (pc + 1) % flash.length);
  const long = (second & 0xfc0f) === 0x9000 || (second & 0xfe0c) === 0x940c ? LONG : 0;
  for (const [mask, bits, kind, d = none, r = none] of ENCODINGS) {
    if ((op & mask) !== bits) continue;
    return (r(op, pc, second) << 16) | (d(op, pc, second) << 8) | long | (r === r5 ? REGISTER : 0) | kind;
  }
  return KIND.OTHER;
}
