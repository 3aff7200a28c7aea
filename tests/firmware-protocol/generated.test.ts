import { readFileSync } from 'node:fs';
import { describe, expect, it } from 'vitest';
import { cHeader, partsCsv, renewManual } from '../../firmware-protocol/generate.js';
import { decodeLine, decodeRequest } from '../../firmware-protocol/index.js';

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

  it('agrees with the lines that PROTOCOL.md shows as examples', () => {
    const shown = [...read('PROTOCOL.md').matchAll(/^ {4}([<>!].*)$/gm)].map((match) => match[1]!);
    expect(shown.length).toBeGreaterThan(5);
    for (const line of shown) {
      if (line.startsWith('>')) expect(decodeRequest(line), line).toBeDefined();
      else expect(decodeLine(line).kind, line).not.toBe('rubbish');
    }
  });
});
