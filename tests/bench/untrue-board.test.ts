// A board that answers and does something else: told as the rig's before anything is held against a unit, outputs off, or the
// stop switch asked for where nobody knows. What a board must do: PROTOCOL.md.

import { afterEach, describe, expect, it } from 'vitest';
import { decodeLine, packFrame } from '../../firmware-protocol/index.js';
import { drivePlan } from '../../host/bench/index.js';
import type { PlannedStep } from '../../host/bench/planned.js';
import { connectRig, type Rig } from '../../host/rig/index.js';
import { StandInBoard, type StandInOptions } from '../link/stand-in-board.js';
import { RIG } from '../rig/rig-profile.js';

const STEPS: PlannedStep[] = [
  { position: 'rest', feed: 'limited', durationS: 0.5 },
  { position: 'forward', feed: 'limited', durationS: 0.45 },
  { position: 'rest', feed: 'limited', durationS: 0.9 },
  { position: 'forward', feed: 'full', durationS: 0.5 },
  { position: 'rest', feed: 'full', durationS: 0.3 },
];
const boards: StandInBoard[] = [];

afterEach(() => {
  for (const board of boards.splice(0)) board.engine.stop();
});

function boardOf(options: StandInOptions): StandInBoard {
  const board = new StandInBoard(options);
  boards.push(board);
  return board;
}

const rigOn = (board: StandInBoard): Promise<Rig> =>
  connectRig({ port: board.port, clock: board.clock, rigProfile: RIG });

async function driven(board: StandInBoard) {
  const rig = await rigOn(board);
  try {
    const result = await drivePlan(rig, STEPS, {
      trip: { motorCurrentA: 15, feedCurrentA: 15, samples: 3 },
      signal: new AbortController().signal,
      onStep: () => {},
      onSamples: () => {},
      findShort: () => undefined,
    });
    return { ...result, refusal: undefined };
  } catch (error) {
    return {
      capture: undefined,
      halt: undefined,
      refusal: error as Error & { code?: string; advice?: string },
    };
  } finally {
    await rig.close();
  }
}

const isFrame = (bytes: Uint8Array): boolean => bytes[0] === '~'.charCodeAt(0);

describe('a board whose samples do not show what it was told', () => {
  it('is let through where they do', async () => {
    const { refusal, halt } = await driven(boardOf({}));
    expect([refusal, halt]).toEqual([undefined, undefined]);
  });

  it.each([
    ['takes a throw and makes none', { ignores: ['throw'] }, 'forward thrown, the limited feed on'],
    ['takes a feed and gives none', { ignores: ['feed'] }, 'still say: rest, the feed off'],
    ['sends no samples', { ignores: ['stream'] }, 'sends no samples'],
    ['samples half as often as it says', { frameS: 0.002 }, 'slower than it says: 0.50 s'],
    ['samples twice as often as it says', { frameS: 0.0005 }, 'faster than it says: 2.00 s'],
  ] as const)('is refused before the full feed: %s', async (_, options, said) => {
    const board = boardOf(options);
    const { refusal } = await driven(board);
    expect(refusal).toMatchObject({ code: 'rig-fault', message: expect.stringContaining(said) });
    expect(refusal?.advice).toMatch(/flash the image/i);
    expect(board.state).toMatchObject({ position: 'rest', feed: 'off', mode: 'idle' });
  });

  it('is refused where they come 0.3 s late', async () => {
    const board = boardOf({});
    board.options = {
      toHost: (bytes) => {
        if (!isFrame(bytes)) return [bytes];
        board.clock.after(0.3, () => board.binding.transmit(bytes));
        return [];
      },
    };
    const { refusal } = await driven(board);
    expect(refusal).toMatchObject({ code: 'rig-fault', message: expect.stringContaining('come too late') });
  });

  it('is refused before it is armed where they say that something is on', async () => {
    const board = boardOf({});
    board.options = {
      toHost: (bytes) => {
        const line = decodeLine(Buffer.from(bytes).toString('latin1').trimEnd());
        if (line.kind !== 'frame') return [bytes];
        return [
          Buffer.from(`${packFrame({ ...line.frame, position: 'forward', feed: 'full' })}\n`, 'latin1'),
        ];
      },
    };
    const { refusal } = await driven(board);
    expect(refusal?.message).toContain('Everything is switched off, and the board');
    expect(refusal?.advice).toContain('Press the stop switch');
    expect(board.acted).not.toContain('arm');
  });

  it('is lost at once, not waited for, where its frame numbers jump', async () => {
    const board = boardOf({});
    board.options = {
      toHost: (bytes, atS) => {
        const line = decodeLine(Buffer.from(bytes).toString('latin1').trimEnd());
        if (line.kind !== 'frame' || atS < 1.5) return [bytes];
        const number = (line.frame.number + 100_000) % 2 ** 18;
        return [Buffer.from(`${packFrame({ ...line.frame, number })}\n`, 'latin1')];
      },
    };
    const { halt, capture } = await driven(board);
    expect(halt).toMatchObject({
      reason: 'link-lost',
      sentence: expect.stringContaining('frame numbers jump'),
    });
    expect(capture?.timeS.at(-1)).toBeLessThan(2);
    expect(board.acted.at(-1)).toBe('off');
  });
});

describe('a board that may still have its outputs on', () => {
  it.each([
    ['confirms "off" and does nothing', { ignores: ['off'] }],
    ['refuses "off"', { refuses: ['off'] }],
  ] as const)('is told with the stop switch: %s', async (_, options) => {
    const board = boardOf({});
    const rig = await rigOn(board);
    const said: string[] = [];
    rig.onEvent((event) => {
      if (event.kind === 'lost') said.push(`${event.sentence}. ${event.advice}`);
    });
    await rig.arm();
    await rig.setFeed('full');
    board.options = options;
    await rig.allOff();
    expect(said).toHaveLength(1);
    expect(said[0]).toMatch(/may still have its outputs on.*Press the stop switch/);
    board.options = {};
    await rig.close();
  });

  it('is refused when it is connected: it refuses "off"', async () => {
    await expect(rigOn(boardOf({ refuses: ['off'] }))).rejects.toMatchObject({
      code: 'outputs-in-doubt',
      advice: expect.stringContaining('Press the stop switch'),
    });
  });

  it('is told "off" once more before the link to it is given up', async () => {
    const board = boardOf({});
    const rig = await rigOn(board);
    const lost: string[] = [];
    rig.onEvent((event) => {
      if (event.kind === 'lost') lost.push(event.sentence);
    });
    await rig.startStream();
    await rig.arm();
    await rig.setFeed('full');
    // Frames go on; nothing is answered any more.
    board.options = { toHost: (bytes) => (isFrame(bytes) ? [bytes] : []) };
    await board.clock.sleep(0.6);
    expect(lost).toHaveLength(1);
    expect(Number(/no valid answer for (\d+) ms/.exec(lost[0] ?? '')?.[1])).toBeGreaterThan(379);
    expect(board.acted.at(-1)).toBe('off');
  });
});

describe('a board that does not keep its limits', () => {
  it('is refused before it is armed', async () => {
    const board = boardOf({ ignores: ['set-trip'] });
    const { refusal } = await driven(board);
    expect(refusal).toMatchObject({ code: 'limits-not-kept' });
    expect(board.acted).not.toContain('arm');
  });
});
