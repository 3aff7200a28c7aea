import { readFileSync } from 'node:fs';
import { describe, expect, it } from 'vitest';
import { netsCsv, orderCsv, partsCsv } from '../../firmware-protocol/build-lists.js';
import { cHeader, renewManual, sheetTexts } from '../../firmware-protocol/generate.js';
import { decodeLine, decodeRequest } from '../../firmware-protocol/index.js';
import { parseSheet } from '../../firmware-protocol/schematic/parse.js';

const read = (path: string) =>
  readFileSync(new URL(`../../firmware-protocol/${path}`, import.meta.url), 'utf8');

describe('what is made from the message declarations', () => {
  it('stands in firmware/protocol.h as it would be made now (else: npm run generate)', () => {
    expect(read('firmware/protocol.h')).toBe(cHeader());
  });

  it('stands in the tables of PROTOCOL.md as it would be made now (else: npm run generate)', () => {
    const manual = read('PROTOCOL.md');
    expect(renewManual(manual)).toBe(manual);
    for (const table of ['constants', 'scan', 'requests', 'replies', 'refusals', 'stops', 'events']) {
      expect(manual).toContain(`<!-- made: ${table} -->`);
    }
  });

  it('stands in parts.csv as RIG.md has it (else: npm run generate)', () => {
    const made = partsCsv(read('RIG.md'));
    expect(read('parts.csv')).toBe(made);
    const lines = made.trimEnd().split('\r\n');
    expect(lines.length).toBeGreaterThan(120);
    expect(lines).toContain('D3,Schottky diode,"3 A, 100 V"');
    expect(new Set(lines.map((line) => line.split(',')[0])).size).toBe(lines.length);
  });

  it('stands in order.csv with the pieces of every kind (else: npm run generate)', () => {
    const made = orderCsv(read('RIG.md'));
    expect(read('order.csv')).toBe(made);
    const rows = made.trimEnd().split('\r\n').slice(1);
    const pieces = (of: RegExp): number[] =>
      rows.filter((row) => of.test(row)).map((row) => Number.parseInt(row, 10));
    expect(pieces(/RS1 RS2/)).toEqual([2]);
    // R41 and its kind, and the two of 0.1 % at U7.
    expect(pieces(/,resistor 10 kΩ,/)).toEqual([12, 2]);
    // C6, C20 (the one at AREF), and one at each of five amplifiers: as the boards carry them.
    expect(pieces(/100 nF/)).toEqual([7]);
    // Nothing is ordered twice, nothing is left out: the marks are those of the list by mark.
    const marks = rows.flatMap((row) => row.split(',').at(-1)!.split(' '));
    const listed = partsCsv(read('RIG.md'))
      .trimEnd()
      .split('\r\n')
      .slice(1)
      .map((row) => row.split(',')[0]);
    expect([...marks].sort()).toEqual([...listed].sort());
  });

  it('stands in nets.csv, every pin of every part on one net (else: npm run generate)', () => {
    const made = netsCsv(sheetTexts());
    expect(read('nets.csv')).toBe(made);
    const joins = made
      .trimEnd()
      .split('\r\n')
      .slice(1)
      .map((row) => row.split(',')[1]!.split(' '));
    const pins = joins.flat();
    expect(new Set(pins).size).toBe(pins.length);
    const parts = sheetTexts().flatMap((text) => [...parseSheet(text).parts.values()]);
    const wanted = parts.flatMap(({ ref, shape }) => Object.keys(shape.pins).map((pin) => `${ref}.${pin}`));
    expect(wanted.filter((pin) => !pins.includes(pin))).toEqual([]);
    // What hangs together by RIG.md, 5.2 and 5.6: U1's filter and the pin of the board.
    expect(joins).toContainEqual(expect.arrayContaining(['R5.b', 'C3.a', 'U6.ADC0']));
    for (const row of joins) expect(row.length, row.join()).toBeGreaterThan(1);
  });

  it('agrees with the lines that PROTOCOL.md shows as examples', () => {
    const shown = [...read('PROTOCOL.md').matchAll(/^ {4}([<>!].*)$/gm)].map((match) => match[1]!);
    expect(shown.length).toBeGreaterThan(5);
    for (const line of shown) {
      if (line.startsWith('>')) expect(decodeRequest(line), line).toBeDefined();
      else expect(decodeLine(line).kind, line).not.toBe('rubbish');
    }
  });
});
