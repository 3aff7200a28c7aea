import { afterEach, describe, expect, it } from 'vitest';
import { encodeOk } from '../../firmware-protocol/index.js';
import { Link, type LinkError, type LinkEvent } from '../../host/link/index.js';
import { StandInBoard, type StandInOptions } from './stand-in-board.js';

const boards: StandInBoard[] = [];
const links: Link[] = [];

function make(options: StandInOptions = {}) {
  const board = new StandInBoard(options);
  const link = new Link({ port: board.port, clock: board.clock, busyPatienceS: 1 });
  const events: LinkEvent[] = [];
  link.onEvent((event) => events.push(event));
  boards.push(board);
  links.push(link);
  return { board, link, events };
}

const states = (events: LinkEvent[]): string[] =>
  events.flatMap((event) => (event.kind === 'state' ? [event.state] : []));

const rejection = async (promise: Promise<unknown>): Promise<LinkError> => {
  const error = await promise.then(
    () => undefined,
    (reason: LinkError) => reason,
  );
  if (error === undefined) throw new Error('was expected to reject, but resolved');
  return error;
};

afterEach(async () => {
  for (const link of links.splice(0)) await link.close();
  for (const board of boards.splice(0)) board.engine.stop();
});

describe('opening a link', () => {
  it('goes through opening and settling to ready and takes the board’s own constants', async () => {
    const { link, events } = make();
    const { hello, constants, scan } = await link.open();
    expect(states(events)).toEqual(['opening', 'settling', 'ready']);
    expect(hello).toMatchObject({ protocol: 1, rigId: 'bench-1' });
    expect(constants).toMatchObject({ frameUs: 1000, slotCount: 18, silenceMs: 250 });
    expect(scan).toBe('MABFMABCMABSMABMAB');
  });

  it.each([0.8, 3])('waits out a boot loader of %s s', async (bootS) => {
    const { link, board } = make({ bootS });
    await link.open();
    expect(link.state).toBe('ready');
    expect(board.clock.nowS()).toBeGreaterThan(bootS);
    expect(board.clock.nowS()).toBeLessThan(bootS + 0.5);
  });

  it('finds a board whose banner was lost', async () => {
    const { link } = make({ withoutBanner: true });
    await link.open();
    expect(link.state).toBe('ready');
  });

  it('gives up on a port that opens and says nothing after 4 s, with the port closed again', async () => {
    const { link, board } = make({ isMute: true });
    const error = await rejection(link.open());
    expect(error.code).toBe('no-answer');
    expect(error.message).toMatch(/stand-in opened, but nothing answered within 4(\.\d)? s/);
    expect(error.advice).toMatch(/flash/);
    expect(link.state).toBe('closed');
    expect(board.binding.isOpen).toBe(false);
  });

  it('tells rubbish from silence', async () => {
    const { link } = make({ toHost: () => [Buffer.from('U\x00\xf3y\n\xffg%\n')] });
    expect((await rejection(link.open())).code).toBe('not-a-rig');
  });

  it('refuses a board that speaks another protocol version and names both', async () => {
    const { link } = make({ protocol: 7 });
    const error = await rejection(link.open());
    expect(error.code).toBe('protocol-version');
    expect(error.message).toMatch(/speaks protocol 7, this program 1/);
    expect(link.state).toBe('closed');
  });

  it('knows another protocol version by the banner when hello cannot be understood', async () => {
    const { link } = make({
      protocol: 7,
      toHost: (bytes) => (bytes[0] === 0x3c ? [Buffer.from(encodeOk(1, 'who', 'knows'))] : [bytes]),
    });
    expect((await rejection(link.open())).code).toBe('protocol-version');
  });

  it('tries a busy port again and says so once, then names the holder as the cause', async () => {
    const { link, board } = make();
    await link.open();
    const waiting: string[] = [];
    const second = new Link({
      port: board.port,
      clock: board.clock,
      busyPatienceS: 1,
      onWaiting: (error) => waiting.push(error.code),
    });
    const error = await rejection(second.open());
    expect(error.code).toBe('port-busy');
    expect(error.message).toMatch(/held by another program/);
    expect(waiting).toEqual(['port-busy']);
    expect(second.counters.attempts).toBeGreaterThan(1);
    expect(link.state).toBe('ready');
  });

  it('gets the port when its holder lets go in time', async () => {
    const { link, board } = make();
    await link.open();
    const second = new Link({ port: board.port, clock: board.clock, busyPatienceS: 2 });
    links.push(second);
    board.clock.after(0.6, () => void link.close());
    await second.open();
    expect(second.state).toBe('ready');
  });

  it('can be cancelled while it waits for a busy port, and leaves nothing open', async () => {
    const { link, board } = make();
    await link.open();
    const second = new Link({ port: board.port, clock: board.clock, busyPatienceS: 5 });
    board.clock.after(0.3, () => void second.close());
    expect((await rejection(second.open())).code).toBe('cancelled');
    expect(second.state).toBe('closed');
  });

  it('reports a port that does not exist without retrying', async () => {
    const { link, board } = make();
    board.binding.unplug();
    const error = await rejection(link.open());
    expect(error.code).toBe('port-not-found');
    expect(link.counters.attempts).toBe(1);
  });
});

describe('a ready link', () => {
  it('sends a request again when its answer is lost, and the board acts once', async () => {
    let drops = 0;
    const { link, board } = make();
    await link.open();
    board.options = {
      toHost: (bytes) => {
        if (drops === 2) return [bytes];
        drops += 1;
        return [];
      },
    };
    await link.request({ verb: 'arm' });
    expect(drops).toBe(2);
    expect(board.acted.filter((verb) => verb === 'arm')).toHaveLength(1);
    expect(link.counters.retries).toBe(2);
  });

  it('sends again at once when the board says that the line was damaged', async () => {
    let damaged = 0;
    const { link, board } = make();
    await link.open();
    board.options = {
      toBoard: (bytes) => {
        if (damaged++ > 0) return [bytes];
        return [Uint8Array.from(bytes, (byte, i) => (i === 5 ? byte ^ 4 : byte))];
      },
    };
    const beforeS = board.clock.nowS();
    await link.request({ verb: 'arm' });
    expect(board.state.mode).toBe('armed');
    expect(board.clock.nowS() - beforeS).toBeLessThan(0.02);
  });

  it('turns a numbered refusal into a sentence', async () => {
    const { link } = make();
    await link.open();
    const error = await rejection(link.request({ verb: 'throw', position: 'forward', holdMs: 100 }));
    expect(error.code).toBe('refused');
    expect(error.details.refusal).toBe(30);
    expect(error.message).toBe('the rig refused "throw" (number 30): the board is not armed');
  });

  it('keeps an armed board alive by its heartbeat and lets it stop when the host goes silent', async () => {
    const { link, board, events } = make();
    await link.open();
    await link.request({ verb: 'arm' });
    link.isWatching = true;
    await board.clock.sleep(3);
    expect(board.state.mode).toBe('armed');
    board.options = { toBoard: () => [] };
    const fromS = board.clock.nowS();
    await board.clock.sleep(0.45);
    expect(board.silenceStopS! - fromS).toBeLessThanOrEqual(0.252);
    expect(board.silenceStopS! - fromS).toBeGreaterThan(0.15);
    expect(events.some((event) => event.kind === 'stopped' && event.stop === 'host-silence')).toBe(true);
  });

  it('learns of a stop from the heartbeat when the stop’s own line was lost', async () => {
    const { link, board, events } = make();
    await link.open();
    link.isWatching = true;
    board.stop('motor-over-current', false);
    await board.clock.sleep(0.2);
    expect(events.filter((event) => event.kind === 'stopped')).toEqual([
      { kind: 'stopped', stop: 'motor-over-current' },
    ]);
  });

  it('learns of a stop from the frames when its own line was lost, and asks for the reason', async () => {
    const { link, board, events } = make();
    await link.open();
    await link.request({ verb: 'stream', stream: 'on' });
    link.isWatching = true;
    await board.clock.sleep(0.2);
    expect(board.acted.at(-1)).toBe('alive');
    board.stop('stop-input', false);
    await board.clock.sleep(0.2);
    expect(events.filter((event) => event.kind === 'stopped')).toEqual([
      { kind: 'stopped', stop: 'stop-input' },
    ]);
  });

  it('notices within 500 ms that the board has gone silent, without any event of the port', async () => {
    const { link, board, events } = make();
    await link.open();
    link.isWatching = true;
    await board.clock.sleep(1);
    let lostAtS = 0;
    link.onEvent((event) => {
      if (event.kind === 'lost') lostAtS = board.clock.nowS();
    });
    const fromS = board.clock.nowS();
    board.options = { isMute: true };
    await board.clock.sleep(0.6);
    expect(lostAtS - fromS).toBeGreaterThan(0.25);
    expect(lostAtS - fromS).toBeLessThan(0.5);
    expect(link.state).toBe('lost');
    expect(board.binding.isOpen).toBe(false);
    expect(events.at(-1)).toMatchObject({
      kind: 'lost',
      error: { code: 'link-lost', family: 'disconnected' },
    });
  });

  it('ends requests under way when the cable is pulled', async () => {
    const { link, board } = make();
    await link.open();
    board.options = { toHost: () => [] };
    const pending = rejection(link.request({ verb: 'limits' }));
    board.clock.after(0.02, () => board.binding.unplug());
    expect((await pending).code).toBe('link-lost');
    expect(link.state).toBe('lost');
  });

  it('opens again after a loss with a fresh port', async () => {
    const { link, board } = make();
    await link.open();
    board.binding.unplug();
    await board.clock.sleep(0.1);
    expect(link.state).toBe('lost');
    board.binding.plug();
    await link.open();
    expect(link.state).toBe('ready');
    await link.request({ verb: 'arm' });
  });

  it.each(['with its banner', 'without its banner'])(
    'takes a restart %s for a loss, since the outputs are off',
    async (how) => {
      const { link, board, events } = make();
      await link.open();
      link.isWatching = true;
      await board.clock.sleep(0.5);
      board.options = { withoutBanner: how.startsWith('without') };
      board.reset();
      await board.clock.sleep(0.3);
      expect(events.at(-1)).toMatchObject({ kind: 'lost' });
      expect((events.at(-1) as { error: LinkError }).error.message).toMatch(/board restarted by itself/);
    },
  );

  it('hears the whole line behind one that lost its end', async () => {
    const { link, board, events } = make();
    await link.open();
    board.send('~0123cut off by a reset');
    board.stop('stop-input');
    await board.clock.sleep(0.01);
    expect(events.filter(({ kind }) => kind === 'stopped')).toEqual([
      { kind: 'stopped', stop: 'stop-input' },
    ]);
    expect(link.counters.crcErrors).toBe(1);
  });

  it('puts an urgent request before everything that waits', async () => {
    const { link, board } = make();
    await link.open();
    await link.request({ verb: 'arm' });
    const waiting = [1, 2, 3].map(() =>
      rejection(link.request({ verb: 'throw', position: 'forward', holdMs: 500 })),
    );
    await link.requestAtOnce({ verb: 'off' });
    expect((await Promise.all(waiting)).map(({ code }) => code)).toEqual([
      'cancelled',
      'cancelled',
      'cancelled',
    ]);
    expect(board.state.position).toBe('rest');
    expect(board.acted.at(-1)).toBe('off');
  });

  it('stands still on a virtual clock while nobody watches', async () => {
    const { link, board } = make();
    await link.open();
    const fromS = board.clock.nowS();
    for (let turn = 0; turn < 200; turn++) await new Promise((resolve) => setImmediate(resolve));
    expect(board.clock.nowS()).toBe(fromS);
  });

  it('keeps a raw trace of its lines and remarks for the record', async () => {
    const { link } = make();
    await link.open();
    const lines = link.trace.lines();
    expect(lines.some((line) => / > >[0-9A-F]{2} hello [0-9A-F]{4}$/.test(line))).toBe(true);
    expect(lines.some((line) => / < <[0-9A-F]{2} ok 1 1\.0\.0 /.test(line))).toBe(true);
    expect(lines.some((line) => line.endsWith('! link ready'))).toBe(true);
  });
});

describe('a link opened and closed over and over', () => {
  it('leaves nothing behind after 1000 cycles, one in three ended by a pulled cable', async () => {
    const board = new StandInBoard();
    boards.push(board);
    const heard: LinkEvent[] = [];
    const before = process.getActiveResourcesInfo().length;
    for (let cycle = 0; cycle < 1000; cycle++) {
      const link = new Link({ port: board.port, clock: board.clock });
      await link.open();
      const unsubscribe = link.onEvent((event) => heard.push(event));
      if (cycle % 3 === 0) {
        board.binding.unplug();
        await board.clock.sleep(0.01);
        expect(link.state).toBe('lost');
        board.binding.plug();
      }
      await link.close();
      unsubscribe();
      expect(board.binding.isOpen).toBe(false);
      expect(board.clock.nextDueS).toBe(Number.POSITIVE_INFINITY);
    }
    expect(board.opens).toBe(1000);
    expect(heard.filter(({ kind }) => kind === 'lost')).toHaveLength(334);
    expect(process.getActiveResourcesInfo().length).toBeLessThanOrEqual(before + 1);
  });
});
