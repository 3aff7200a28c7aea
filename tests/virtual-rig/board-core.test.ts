// The board's fast instructions against avr8js, which is the reference here: every opcode word, random states.

import { avrInstruction, CPU } from 'avr8js';
import { describe, expect, it } from 'vitest';
import { decodedAt, KIND, KIND_BITS } from '../../host/virtual-rig/board/decode.js';
import { FastCore } from '../../host/virtual-rig/board/fast-core.js';

const ROUNDS = 3;

function random(seed: number): () => number {
  let state = seed >>> 0;
  return () => {
    state = (Math.imul(state, 1_664_525) + 1_013_904_223) >>> 0;
    return state / 2 ** 32;
  };
}

describe('fast core', () => {
  it(`does with all 65,536 opcode words what avr8js does, ${ROUNDS} states each (seed 7)`, () => {
    const next = random(7);
    const byte = () => Math.floor(next() * 256);
    const words = 16_384;
    const [mine, theirs] = [new CPU(new Uint16Array(words), 2048), new CPU(new Uint16Array(words), 2048)];
    const core = new FastCore(mine);
    const kinds = new Set<number>();
    const differences: string[] = [];
    for (let word = 0; word < 65_536 && differences.length < 10; word++) {
      for (let round = 0; round < ROUNDS; round++) {
        const pc = 3000 + Math.floor(next() * 10_000);
        // Sometimes a long instruction behind it, for the skips.
        const second =
          next() < 0.3 ? [0x9000, 0x9200, 0x940c, 0x940e][byte() & 3]! : Math.floor(next() * 2300);
        for (let i = 0; i < 0x100; i++) mine.data[i] = byte();
        if (next() < 0.2) mine.data.copyWithin(16, 0, 16);
        for (let i = 0; i < 16; i++) mine.data[0x100 + Math.floor(next() * 2048)] = byte();
        mine.SP = 0x180 + Math.floor(next() * 1500);
        mine.cycles = 1000;
        mine.pc = pc;
        for (const cpu of [mine, theirs]) {
          cpu.progMem[pc] = word;
          cpu.progMem[pc + 1] = second;
        }
        theirs.data.set(mine.data);
        theirs.cycles = mine.cycles;
        theirs.pc = pc;
        core.redecode(pc);
        core.redecode(pc + 1);
        kinds.add(decodedAt(mine.progMem, pc) & KIND_BITS);
        avrInstruction(theirs);
        core.run(mine.cycles + 1);
        const where =
          Buffer.compare(mine.data, theirs.data) === 0
            ? -1
            : mine.data.findIndex((value, index) => value !== theirs.data[index]);
        if (where >= 0 || mine.pc !== theirs.pc || mine.cycles !== theirs.cycles) {
          differences.push(
            `word ${word.toString(16)}: data[${where}] ${mine.data[where]} for ${theirs.data[where]}, pc ${mine.pc} for ${theirs.pc}, cycles ${mine.cycles} for ${theirs.cycles}`,
          );
        }
      }
    }
    expect(differences).toEqual([]);
    expect([...kinds].sort((a, b) => a - b)).toEqual(Object.values(KIND));
  });
});
