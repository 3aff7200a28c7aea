// Logic inputs of a logger that tell which way is thrown (the forms are common practice of loggers, no source).

import { describe, expect, it } from 'vitest';
import { readCaptureCsv } from '../../host/capture/index.js';

const WAYS = [0, 0, 1, 1, 1, 0, 0, -1, -1, -1, 0, 0];
const table = (heads: readonly string[], cells: (way: number) => readonly string[]): string =>
  [
    ['Time (s)', 'Motor current (A)', ...heads].join(','),
    ...WAYS.map((way, k) => [`${k / 1000}`, `${3 * way}`, ...cells(way)].join(',')),
  ].join('\n');
const POSITIONS = WAYS.map((way) => (way > 0 ? 'forward' : way < 0 ? 'reverse' : 'rest'));

describe('two columns of logic', () => {
  it.each([
    ['FWD', 'REV', '0', '1'],
    ['Fwd', 'Rev', '0.0', '1.0'],
    ['D0 forward', 'D1 reverse', 'low', 'high'],
    ['forward', 'backward', 'FALSE', 'TRUE'],
    ['IN_FWD', 'IN_REV', 'off', 'on'],
  ])('%s and %s with %s and %s tell the positions', (forward, reverse, low, high) => {
    const { position, positionKnown, notes } = readCaptureCsv(
      table([forward, reverse], (way) => [way > 0 ? high : low, way < 0 ? high : low]),
      'logger.csv',
    );
    expect(position).toEqual(POSITIONS);
    expect(positionKnown).toBeUndefined();
    expect(notes).toContain(`Positions were read from '${forward}' and '${reverse}', high where thrown.`);
  });

  it('that stand high at rest tell them by going low', () => {
    const { position, notes } = readCaptureCsv(
      table(['FWD', 'REV'], (way) => [way > 0 ? '0' : '1', way < 0 ? '0' : '1']),
      'logger.csv',
    );
    expect(position).toEqual(POSITIONS);
    expect(notes.join(' ')).toContain('low where thrown');
  });

  it.each([
    [
      'both at once',
      (way: number) => (way > 0 ? ['1', '1'] : [way < 0 ? '1' : '0', '0']),
      'both directions at once',
    ],
    ['no rest', (way: number) => (way > 0 ? ['1', '0'] : ['0', '1']), 'tell no rest'],
    ['volts', (way: number) => [way > 0 ? '4.9' : '0.1', way < 0 ? '4.9' : '0.1'], 'more than high and low'],
  ] as const)('that tell %s are left out in a line that says the way', (_words, cells, why) => {
    const { positionKnown, notes } = readCaptureCsv(table(['FWD', 'REV'], cells), 'logger.csv');
    expect(positionKnown).toBe(false);
    const told = notes.find((note) => note.includes(why));
    expect(told).toMatch(
      /were not used; for positions write one column position with rest, forward and reverse/,
    );
  });

  it('alone, for one direction, is left out with a word', () => {
    const { positionKnown, notes } = readCaptureCsv(
      table(['FWD'], (way) => [way > 0 ? '1' : '0']),
      'logger.csv',
    );
    expect(positionKnown).toBe(false);
    expect(notes.join(' ')).toContain("Column 'FWD' tells one direction alone and was not used");
  });
});
