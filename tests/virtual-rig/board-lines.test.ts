// Whatever comes down the line, no promise breaks. Thousands of lines here, a million in the gate:
// THROWBENCH_FUZZ_LINES=1000000 npx vitest run tests/virtual-rig/board-lines.test.ts

import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { decodeRequest, encodeRequest, type Request, sealLine } from '../../firmware-protocol/index.js';
import { EmulatedBoard, rigImage } from '../../host/virtual-rig/board/index.js';
import { BoardDesk, cyclesToMs, PROMISED } from './board-desk.js';

const LINES = Number(process.env.THROWBENCH_FUZZ_LINES ?? 2400);
/** To see one failure again: seed and path as the report of a failed run gives them. */
const REPLAY = process.env.THROWBENCH_FUZZ_PATH ? { path: process.env.THROWBENCH_FUZZ_PATH } : {};
const SEED = Number(process.env.THROWBENCH_FUZZ_SEED ?? 20_260);
/** Long runs for a large count, because every run begins with a third of a second of dead time. */
const LINES_A_RUN = LINES >= 100_000 ? 400 : 40;
/** A loaded machine, or a million lines, takes longer than the usual limit. */
const TIMEOUT_MS = 120_000 + LINES * 20;
/** The second test waits a lot, for dead time, silence and holds: a tenth of a large count. */
const MIXED_LINES = Math.max(1200, LINES / 10);
const RUNS = Math.ceil(Math.max(1200, LINES - MIXED_LINES) / LINES_A_RUN);
const MIXED_RUNS = Math.ceil(MIXED_LINES / LINES_A_RUN);

const seq = fc.integer({ min: 0, max: 255 });
const position = fc.constantFrom('forward' as const, 'reverse' as const);
const harmless: fc.Arbitrary<Request> = fc.oneof(
  fc
    .constantFrom('hello', 'constants', 'state', 'limits', 'counters', 'scan', 'alive', 'release')
    .map((verb) => ({ verb }) as Request),
  fc.record({ verb: fc.constant('set-dead' as const), deadMs: fc.integer({ min: 100, max: 120 }) }),
  fc.record({
    verb: fc.constant('burst' as const),
    inputs: fc.stringMatching(/^[MABFCS]{1,2}$/),
    edge: fc.constantFrom('now' as const, 'throw' as const, 'release' as const),
    before: fc.integer({ min: 0, max: 320 }),
  }),
  fc.record({ verb: fc.constant('burst-read' as const), from: fc.integer({ min: 0, max: 381 }) }),
  fc.constant<Request>({ verb: 'burst-end' }),
  fc.record({ verb: fc.constant('stream' as const), stream: fc.constantFrom('on' as const, 'off' as const) }),
  fc.record({ verb: fc.constant('set-rig' as const), rigId: fc.stringMatching(/^[A-Za-z0-9._-]{1,16}$/) }),
  fc.record({
    verb: fc.constant('set-trip' as const),
    motorCounts: fc.integer({ min: 1, max: 480 }),
    feedCounts: fc.integer({ min: 1, max: 990 }),
    samples: fc.integer({ min: 1, max: 20 }),
  }),
);
const energising: fc.Arbitrary<Request> = fc.oneof(
  fc.record({ verb: fc.constant('throw' as const), position, holdMs: fc.integer({ min: 1, max: 60_000 }) }),
  fc.record({ verb: fc.constant('throw' as const), position, holdMs: fc.integer({ min: 1, max: 30 }) }),
  fc.record({
    verb: fc.constant('feed' as const),
    feed: fc.constantFrom('off' as const, 'limited' as const, 'full' as const),
  }),
);
const arming: fc.Arbitrary<Request> = fc
  .constantFrom('arm', 'clear', 'off', 'stop')
  .map((verb) => ({ verb }) as Request);
const valid = (request: fc.Arbitrary<Request>) =>
  fc.tuple(seq, request).map(([number, message]) => encodeRequest(number, message));

const bytes = (line: string) => Uint8Array.from(Buffer.from(line, 'latin1'));
const randomBytes = fc.uint8Array({ minLength: 1, maxLength: 100 });
const randomText = fc.string({ maxLength: 80 }).map((text) => bytes(`${text}\n`));
const damaged = (line: fc.Arbitrary<string>) =>
  fc.oneof(
    fc.tuple(line, fc.nat()).map(([text, cut]) => bytes(text.slice(0, cut % text.length))),
    fc.tuple(line, fc.nat()).map(([text, cut]) => bytes(text.slice(cut % text.length))),
    fc.tuple(line, fc.nat(), fc.nat(7)).map(([text, at, bit]) => {
      const out = bytes(text);
      out[at % out.length]! ^= 1 << bit;
      return out;
    }),
    fc.tuple(line, line, fc.nat()).map(([one, other, cut]) => bytes(one.slice(0, cut % one.length) + other)),
  );
/** Right checksum, wrong content: verbs that do not exist, arguments missing, too many, out of range, in odd forms. */
const forged = fc
  .tuple(
    fc.constantFrom(
      'arm',
      'throw',
      'feed',
      'feed full',
      'throw forward',
      'throw rest 10',
      'ARM',
      'arm arm',
      'set-dead',
      'set-scan',
      'set-scan MABFMABCMABSMABMA',
      'set-scan AAAAAAAAAAAAAAAAAA',
      'set-rig',
      'fire',
    ),
    fc.constantFrom(
      '',
      ' 0',
      ' -1',
      ' 99',
      ' 65536',
      ' 60001',
      ' 4294967297',
      ' 00010',
      ' 1.5',
      ' full',
      ' forward',
      ' ',
      '  1',
      ' 1 2 3 4',
      ` ${'9'.repeat(40)}`,
    ),
    fc.constantFrom('>', '<', '!', '>>', ''),
    fc.constantFrom('00', 'F', 'zz', 'ff', '0A'),
  )
  .map(([verb, more, kind, number]) => bytes(sealLine(`${kind}${number} ${verb}${more}`)));
const overlong = fc
  .tuple(fc.integer({ min: 60, max: 300 }), valid(energising))
  .map(([length, line]) => bytes(' '.repeat(length) + line));
const nasty = (line: fc.Arbitrary<string>) =>
  fc.oneof(randomBytes, randomText, damaged(line), forged, overlong);

/** What a board with a perfect ear would take as valid out of the bytes sent so far. */
function validLines(stream: Uint8Array): Request[] {
  return Buffer.from(stream)
    .toString('latin1')
    .split('\n')
    .flatMap((line) => decodeRequest(line.endsWith('\r') ? line.slice(0, -1) : line)?.request ?? []);
}

describe(`${LINES} random, truncated, bit-flipped, forged and overlong lines (seed ${SEED})`, () => {
  it(
    'never energise anything while no valid arm is among them',
    () => {
      const chunk = fc.oneof(
        { weight: 5, arbitrary: nasty(valid(fc.oneof(energising, arming, harmless))) },
        { weight: 2, arbitrary: valid(fc.oneof(energising, harmless)).map(bytes) },
      );
      let sent = 0;
      fc.assert(
        fc.property(fc.array(chunk, { minLength: LINES_A_RUN, maxLength: LINES_A_RUN }), (chunks) => {
          const desk = new BoardDesk();
          // A newline after each, so that an arm that came out whole by chance can be left out by itself.
          const harmlessOnes = chunks
            .map((part) => Uint8Array.from([...part, 10]))
            .filter((part) => !validLines(part).some((request) => request.verb === 'arm'));
          const all = Uint8Array.from(harmlessOnes.flatMap((part) => [...part]));
          expect(validLines(all).some((request) => request.verb === 'arm')).toBe(false);
          sent += harmlessOnes.length;
          let energised = false;
          const watch = desk.board.onOutputWrite!;
          desk.board.onOutputWrite = (cycle, outputs) => {
            watch(cycle, outputs);
            energised ||= Object.values(outputs).some(Boolean);
          };
          desk.board.receive(all);
          // Long enough for every answer, and for a stream that a line has switched on to end.
          desk.runMs((all.length * 10) / 500 + 600);
          expect(energised).toBe(false);
          // A flood may have cost the board its last newline: one more, and it is in step.
          desk.board.receive(bytes('\n'));
          desk.runMs(5);
          expect(desk.outcome({ verb: 'throw', position: 'forward', holdMs: 100 })).toMatch(
            /not-armed|stopped/,
          );
        }),
        { seed: SEED, numRuns: RUNS, endOnFailure: LINES >= 100_000, ...REPLAY },
      );
      console.log(`board: ${sent} lines without a valid arm`);
      expect(sent).toBeGreaterThan(RUNS * LINES_A_RUN * 0.8);
    },
    TIMEOUT_MS,
  );

  it(
    'never break a promise when mixed with valid requests, over-currents and an opening stop loop',
    () => {
      type Step = { send: Uint8Array } | { waitMs: number } | { loop: boolean } | { over: boolean };
      const line = valid(fc.oneof(energising, arming, harmless));
      const step: fc.Arbitrary<Step> = fc.oneof(
        { weight: 6, arbitrary: nasty(line).map((send) => ({ send })) },
        { weight: 6, arbitrary: line.map((text) => ({ send: bytes(text) })) },
        // What a host does on purpose, so that outputs really are on when the nasty lines come.
        {
          weight: 3,
          arbitrary: fc
            .tuple(seq, position, fc.integer({ min: 1, max: 400 }))
            .map(([number, side, holdMs]) => ({
              send: bytes(
                `\n${encodeRequest(number, { verb: 'clear' })}${encodeRequest((number + 1) & 255, { verb: 'arm' })}${encodeRequest((number + 2) & 255, { verb: 'feed', feed: 'full' })}${encodeRequest((number + 3) & 255, { verb: 'throw', position: side, holdMs })}`,
              ),
            })),
        },
        { weight: 4, arbitrary: fc.integer({ min: 1, max: 40 }).map((waitMs) => ({ waitMs })) },
        { weight: 1, arbitrary: fc.constantFrom(120, 260, 300).map((waitMs) => ({ waitMs })) },
        { weight: 1, arbitrary: fc.boolean().map((loop) => ({ loop })) },
        { weight: 1, arbitrary: fc.boolean().map((over) => ({ over })) },
      );
      let sent = 0;
      let throws = 0;
      let reasons = new Set<string>();
      fc.assert(
        fc.property(fc.array(step, { minLength: LINES_A_RUN, maxLength: LINES_A_RUN }), (steps) => {
          let over = false;
          let trippedAt = Number.POSITIVE_INFINITY;
          let loopOpenAt = Number.POSITIVE_INFINITY;
          let lastByteAt = 0;
          const desk = new BoardDesk({ counts: (input) => (input === 0 ? (over ? 1003 : 512) : 0) });
          // The shortest dead time that any line of this test can set; the board starts with one of 300 ms, waited out here.
          desk.deadMs = 100;
          desk.runMs(310);
          const watch = desk.board.onOutputWrite!;
          desk.board.onOutputWrite = (cycle, outputs) => {
            const was = desk.outputs.throwForward || desk.outputs.throwReverse;
            watch(cycle, outputs);
            if (!was && (outputs.throwForward || outputs.throwReverse)) throws++;
          };
          const check = () => {
            const now = desk.board.cycles;
            if (!desk.on) return;
            if (cyclesToMs(now - Math.max(loopOpenAt, desk.onSinceCycle)) > PROMISED.reactionMs)
              desk.breaches.push(`on ${cyclesToMs(now - loopOpenAt)} ms after the loop opened`);
            if (over && cyclesToMs(now - Math.max(trippedAt, desk.onSinceCycle)) > PROMISED.reactionMs)
              desk.breaches.push('on 1 ms after a trip');
            if (cyclesToMs(now - lastByteAt) > PROMISED.silenceMs)
              desk.breaches.push('on 250 ms after the last byte');
          };
          for (const action of steps) {
            if ('send' in action) {
              sent++;
              desk.board.receive(action.send);
              lastByteAt = Math.max(lastByteAt, desk.board.cycles) + action.send.length * 320;
              desk.runMs(action.send.length * 0.02);
            } else if ('waitMs' in action) {
              for (let passed = 0; passed < action.waitMs; passed += 0.5) {
                desk.runMs(0.5);
                check();
              }
            } else if ('loop' in action) {
              desk.board.setStopLoop(action.loop);
              if (action.loop) loopOpenAt = Number.POSITIVE_INFINITY;
              else if (loopOpenAt === Number.POSITIVE_INFINITY) loopOpenAt = desk.board.cycles;
            } else {
              if (!action.over) trippedAt = Number.POSITIVE_INFINITY;
              // Tripped at the latest after 20 samples, the most that can be set, at 5,000 a second, the slowest guard.
              else if (!over) trippedAt = desk.board.cycles + 4.2 * 16_000;
              over = action.over;
            }
            check();
          }
          desk.runMs(260);
          check();
          expect(desk.on).toBe(false);
          expect(desk.breaches).toEqual([]);
          reasons = new Set([...reasons, ...desk.stops()]);
          // Still in its senses: a newline, and it answers.
          desk.board.setStopLoop(true);
          desk.board.receive(bytes('\n'));
          desk.runMs(30);
          desk.must({ verb: 'state' });
        }),
        { seed: SEED + 1, numRuns: MIXED_RUNS, endOnFailure: LINES >= 100_000, ...REPLAY },
      );
      console.log(
        `board: ${sent} lines and chunks, ${throws} throws, stops seen: ${[...reasons].sort().join(', ')}`,
      );
      expect(throws).toBeGreaterThan(MIXED_RUNS / 4);
      if (MIXED_RUNS >= 50)
        expect([...reasons].sort()).toEqual([
          'host-request',
          'host-silence',
          'longest-hold',
          'motor-over-current',
          'stop-input',
        ]);
    },
    TIMEOUT_MS,
  );
});

describe('a flood', () => {
  it(
    'of ten seconds of noise at full line rate leaves the board answering and dark (seed 5)',
    () => {
      let state = 5;
      const noise = Uint8Array.from({ length: 500_000 }, () => {
        state = (Math.imul(state, 1_664_525) + 1_013_904_223) >>> 0;
        return state >>> 24;
      });
      let lit = false;
      const board = new EmulatedBoard({
        image: rigImage(),
        world: { outputsChanged: () => (lit = true), adcCounts: () => 512 },
      });
      board.setStopLoop(true);
      let text = '';
      board.onTransmit = (sent) => (text += Buffer.from(sent).toString('latin1'));
      board.run(0.005);
      board.receive(noise);
      board.run(10.1);
      expect(lit).toBe(false);
      text = '';
      board.receive(Buffer.from(`\n${encodeRequest(1, { verb: 'state' })}`));
      board.run(board.timeS + 0.05);
      expect(text).toContain('<01 ok rest off idle none closed off 0 0 ');
    },
    TIMEOUT_MS,
  );
});
