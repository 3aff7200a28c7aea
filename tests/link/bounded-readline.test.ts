import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { BoundedReadline } from '../../host/link/bounded-readline.js';

function linesOf(chunks: Buffer[], longestLine = 20) {
  const parser = new BoundedReadline(longestLine);
  const lines: string[] = [];
  parser.on('data', (line: string) => lines.push(line));
  for (const chunk of chunks) parser.write(chunk);
  return { lines, parser };
}

const nextTurn = () => new Promise((resolve) => setImmediate(resolve));

describe('readline with a bound', () => {
  it('drops a stretch without a line end and hears the first line after it', async () => {
    const { lines, parser } = linesOf([Buffer.alloc(5000, 0x55), Buffer.from('more\ngood\n')]);
    await nextTurn();
    expect(lines).toEqual(['good']);
    expect(parser.overlong).toBe(1);
  });

  it('never holds more than the bound and a chunk', () => {
    const parser = new BoundedReadline(128);
    parser.resume();
    let most = 0;
    for (let i = 0; i < 10_000; i++) {
      parser.write(Buffer.alloc(37, 0x41));
      most = Math.max(most, parser.buffer.length);
    }
    expect(most).toBeLessThanOrEqual(128);
  });

  it('gives the same lines however the bytes are cut (seed 7)', async () => {
    const text = fc.array(
      fc.string({ unit: fc.constantFrom('a', 'b', '~', ' '), minLength: 1, maxLength: 20 }),
      {
        maxLength: 12,
      },
    );
    await fc.assert(
      fc.asyncProperty(text, fc.array(fc.nat(9), { maxLength: 60 }), async (expected, cuts) => {
        let rest = Buffer.from(expected.map((line) => `${line}\n`).join(''));
        const chunks: Buffer[] = [];
        for (const cut of cuts) {
          chunks.push(rest.subarray(0, cut + 1));
          rest = rest.subarray(cut + 1);
        }
        const { lines } = linesOf([...chunks.filter(({ length }) => length > 0), rest]);
        await nextTurn();
        expect(lines).toEqual(expected);
      }),
      { seed: 7, numRuns: 200 },
    );
  });

  it('keeps every byte of a damaged line apart', async () => {
    const { lines } = linesOf([Buffer.from([0xff, 0x80, 0x41, 0x0a])]);
    await nextTurn();
    expect([...lines[0]!].map((char) => char.charCodeAt(0))).toEqual([0xff, 0x80, 0x41]);
  });
});
