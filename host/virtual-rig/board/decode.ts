// Flash words taken apart once, so that running them costs one table look-up instead of a search through masks.
// Only what the rig's image runs often has a kind of its own; all else is OTHER and goes to avr8js.

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
  SUBI: 13,
  SBCI: 14,
  CPI: 15,
  LDI: 16,
  MOV: 17,
  MOVW: 18,
  ANDI: 19,
  ORI: 20,
  RJMP: 21,
  BRBS: 22,
  BRBC: 23,
  IN: 24,
  OUT_SREG: 25,
  LDD_Z: 26,
  LDD_Y: 27,
  STD_Z: 28,
  STD_Y: 29,
  LPM_Z: 30,
  LPM_Z_INC: 31,
  LD_Z_INC: 32,
  LSR: 33,
  ROR: 34,
  SWAP: 35,
  CALL: 36,
  RET: 37,
  RETI: 38,
  CPSE: 39,
  SBRC: 40,
  SBRS: 41,
  JMP: 42,
  CLI: 43,
  SBC: 44,
  SBIC: 45,
  SBIS: 46,
} as const;

const TWO_REGISTERS = new Map<number, number>([
  [0x0400, KIND.CPC],
  [0x0800, KIND.SBC],
  [0x0c00, KIND.ADD],
  [0x1000, KIND.CPSE],
  [0x1400, KIND.CP],
  [0x1800, KIND.SUB],
  [0x1c00, KIND.ADC],
  [0x2000, KIND.AND],
  [0x2400, KIND.EOR],
  [0x2800, KIND.OR],
  [0x2c00, KIND.MOV],
]);
const CONSTANTS = new Map<number, number>([
  [0x3000, KIND.CPI],
  [0x4000, KIND.SBCI],
  [0x5000, KIND.SUBI],
  [0x6000, KIND.ORI],
  [0x7000, KIND.ANDI],
  [0xe000, KIND.LDI],
]);

export interface Decoded {
  readonly kind: Uint8Array;
  /** Destination register, or the bit of a branch. */
  readonly d: Uint8Array;
  /** Source register, constant, data address, displacement, or the word that a jump leads to. */
  readonly r: Uint16Array;
}

export function emptyDecoded(words: number): Decoded {
  return { kind: new Uint8Array(words), d: new Uint8Array(words), r: new Uint16Array(words) };
}

/** Takes the word at `pc` apart again, as after a change of the flash. */
export function decodeAt(decoded: Decoded, flash: Uint16Array, pc: number): void {
  const op = flash[pc]!;
  const second = flash[(pc + 1) % flash.length]!;
  const set = (kind: number, d = 0, r = 0): void => {
    decoded.kind[pc] = kind;
    decoded.d[pc] = d;
    decoded.r[pc] = r;
  };
  const d5 = (op & 0x1f0) >> 4;
  const r5 = (op & 0xf) | ((op & 0x200) >> 5);
  const d4 = ((op & 0xf0) >> 4) + 16;
  const k8 = (op & 0xf) | ((op & 0xf00) >> 4);
  const displacement = (op & 7) | ((op & 0xc00) >> 7) | ((op & 0x2000) >> 8);
  const io = ((op & 0xf) | ((op & 0x600) >> 5)) + 32;
  const branch = pc + 1 + (((op & 0x1f8) >> 3) - (op & 0x200 ? 0x40 : 0));

  const two = TWO_REGISTERS.get(op & 0xfc00);
  const constant = CONSTANTS.get(op & 0xf000);
  if (two !== undefined) set(two, d5, r5);
  else if (constant !== undefined) set(constant, d4, k8);
  else if ((op & 0xff00) === 0x0100) set(KIND.MOVW, ((op & 0xf0) >> 4) * 2, (op & 0xf) * 2);
  else if ((op & 0xf000) === 0xc000)
    set(KIND.RJMP, 0, (pc + 1 + ((op & 0x7ff) - (op & 0x800 ? 0x800 : 0))) & 0x3fff);
  else if ((op & 0xfc00) === 0xf000) set(KIND.BRBS, 1 << (op & 7), branch & 0x3fff);
  else if ((op & 0xfc00) === 0xf400) set(KIND.BRBC, 1 << (op & 7), branch & 0x3fff);
  else if ((op & 0xfe08) === 0xfc00) set(KIND.SBRC, d5, 1 << (op & 7));
  else if ((op & 0xfe08) === 0xfe00) set(KIND.SBRS, d5, 1 << (op & 7));
  else if ((op & 0xff00) === 0x9900) set(KIND.SBIC, 1 << (op & 7), ((op & 0xf8) >> 3) + 32);
  else if ((op & 0xff00) === 0x9b00) set(KIND.SBIS, 1 << (op & 7), ((op & 0xf8) >> 3) + 32);
  else if ((op & 0xf800) === 0xb000) set(KIND.IN, d5, io);
  else if ((op & 0xf800) === 0xb800 && io === 0x5f) set(KIND.OUT_SREG, d5);
  else if ((op & 0xfe0f) === 0x9000) set(KIND.LDS, d5, second);
  else if ((op & 0xfe0f) === 0x9200) set(KIND.STS, d5, second);
  else if ((op & 0xfe0f) === 0x900f) set(KIND.POP, d5);
  else if ((op & 0xfe0f) === 0x920f) set(KIND.PUSH, d5);
  else if ((op & 0xfe0f) === 0x9001) set(KIND.LD_Z_INC, d5);
  else if ((op & 0xfe0f) === 0x9004) set(KIND.LPM_Z, d5);
  else if ((op & 0xfe0f) === 0x9005) set(KIND.LPM_Z_INC, d5);
  else if ((op & 0xd208) === 0x8000) set(KIND.LDD_Z, d5, displacement);
  else if ((op & 0xd208) === 0x8008) set(KIND.LDD_Y, d5, displacement);
  else if ((op & 0xd208) === 0x8200) set(KIND.STD_Z, d5, displacement);
  else if ((op & 0xd208) === 0x8208) set(KIND.STD_Y, d5, displacement);
  else if ((op & 0xfe0f) === 0x9402) set(KIND.SWAP, d5);
  else if ((op & 0xfe0f) === 0x9406) set(KIND.LSR, d5);
  else if ((op & 0xfe0f) === 0x9407) set(KIND.ROR, d5);
  else if ((op & 0xfe0e) === 0x940e) set(KIND.CALL, 0, second & 0x3fff);
  else if ((op & 0xfe0e) === 0x940c) set(KIND.JMP, 0, second & 0x3fff);
  else if (op === 0x9508) set(KIND.RET);
  else if (op === 0x9518) set(KIND.RETI);
  else if (op === 0x94f8) set(KIND.CLI);
  else set(KIND.OTHER);
}
