import { readFileSync } from 'node:fs';
import { describe, expect, it } from 'vitest';
import { cHeader, renewManual } from '../../firmware-protocol/generate.js';

const read = (path: string) => readFileSync(new URL(`../../firmware-protocol/${path}`, import.meta.url), 'utf8');

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
});
