// Boards that are no rig of this program's time: each is told for what it is, with the port closed again. What a greeting and
// the constants hold: PROTOCOL.md.

import { afterEach, describe, expect, it } from 'vitest';
import { crcDigits } from '../../firmware-protocol/index.js';
import { Link, type LinkError } from '../../host/link/index.js';
import { StandInBoard, type StandInOptions } from './stand-in-board.js';

const boards: StandInBoard[] = [];

afterEach(() => {
  for (const board of boards.splice(0)) board.engine.stop();
});

async function refusalOf(options: StandInOptions): Promise<LinkError> {
  const board = new StandInBoard(options);
  boards.push(board);
  const link = new Link({ port: board.port, clock: board.clock });
  const error = await link.open().then(
    () => undefined,
    (reason: LinkError) => reason,
  );
  expect(board.binding.isOpen).toBe(false);
  if (error === undefined) throw new Error('was expected to refuse the board, but took it');
  return error;
}

/** An answer with one word in place of another, its checksum right. `of` is how many words such an answer has. */
const answering = (of: number, place: number, word: string): StandInOptions => ({
  toHost: (bytes) => {
    const line = Buffer.from(bytes).toString('latin1');
    const words = line.trimEnd().split(' ').slice(0, -1);
    if (!line.startsWith('<') || words.length !== of) return [bytes];
    words[place] = word;
    const body = `${words.join(' ')} `;
    return [Buffer.from(`${body}${crcDigits(body)}\n`, 'latin1')];
  },
});
/** Of `<SS ok 1 1.0.0 stand-in bench-1 external`, and of the nine constants behind `<SS ok`. */
const greeting = (place: number, word: string) => answering(7, place, word);
const constants = (place: number, word: string) => answering(11, place, word);

describe('a board whose greeting cannot be read', () => {
  it.each([
    ['firmware version "2.0.0-rc1"', greeting(3, '2.0.0-rc1')],
    ['name of this rig "be\\u001b[31mn\\u0007ch"', greeting(5, 'be\x1b[31mn\x07ch')],
    ['name of this rig ""', greeting(5, '')],
    ['what started the board last "jtag"', greeting(6, 'jtag')],
    ['nominal crystal frequency "0"', constants(2, '0')],
  ])('is told with what could not be read, and steers no terminal: %s', async (said, options) => {
    const error = await refusalOf(options);
    expect(error.code).toBe('answer-unread');
    expect(error.message).toContain('answers, but this program cannot read what it tells');
    expect(error.message).toContain(said);
    expect(error.advice).toContain('FLASH.md');
  });

  it('is told by its protocol where only the greeting tells of another one', async () => {
    const error = await refusalOf({ ...greeting(2, '2'), withoutBanner: true });
    expect(error.code).toBe('protocol-version');
    expect(error.message).toContain('speaks protocol 2, this program 1');
  });
});

describe('a board that is built otherwise', () => {
  it.each([
    ['24 samples a frame, not 18', constants(5, '24')],
    ['12 bits a sample, not 10', constants(3, '12')],
    ['2000 µs a frame, not 1000', constants(4, '2000')],
    ['500 µs a frame, not 1000', constants(4, '500')],
    ['hears nothing for 50 ms', constants(8, '50')],
  ])('is refused before anything is read or driven: %s', async (said, options) => {
    const error = await refusalOf(options);
    expect(error.code).toBe('board-unfit');
    expect(error.message).toContain(said);
  });
});

describe('a board that answers late', () => {
  it('is told so, and not as silence', async () => {
    const board = new StandInBoard();
    boards.push(board);
    const LATE_S = 0.14;
    board.options = {
      toHost: (bytes) => {
        board.clock.after(LATE_S, () => board.binding.transmit(bytes));
        return [];
      },
    };
    const link = new Link({ port: board.port, clock: board.clock });
    await expect(link.open()).rejects.toMatchObject({
      code: 'answers-late',
      message: expect.stringContaining('too late to be driven: not once within 0.1 s'),
    });
  });
});
