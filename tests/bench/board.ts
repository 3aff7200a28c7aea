// Speed of the rig's ground floor: the emulated board alone and with a simulated bench, and what decoding its stream costs.
// CPU time of this process, not wall time, so that a crowded machine does not change the ratios.

import {
  createLineReader,
  decodeLine,
  encodeRequest,
  type Request,
  readReply,
} from '../../firmware-protocol/index.js';
import { caseSchema } from '../../host/profile/index.js';
import { type BoardWorld, EmulatedBoard, rigImage } from '../../host/virtual-rig/board/index.js';
import { openVirtualRig } from '../../host/virtual-rig/index.js';
import { plannedUnit } from '../profile/planned-unit.js';

const SECONDS = 60;
const LINE_BYTES_PER_S = 50_000;
/** Nothing thrown and nothing wired: what the board itself costs. */
const IDLE_WORLD: BoardWorld = {
  outputsChanged: () => {},
  adcCounts: (input) => (input === 0 ? 512 : 100 * input),
};

function cpuS(work: () => void): number {
  const before = process.cpuUsage();
  work();
  const { user, system } = process.cpuUsage(before);
  return (user + system) / 1e6;
}

/** Full scan list for `seconds`, a sign of life every 100 ms; gives what the board sent and the CPU time it took. */
function stream(
  board: EmulatedBoard,
  seconds: number,
  plan: (atS: number) => Request[],
): { chunks: Uint8Array[]; costS: number } {
  const chunks: Uint8Array[] = [];
  let seq = 0;
  const send = (request: Request) => board.receive(Buffer.from(encodeRequest(seq++ & 255, request)));
  board.onTransmit = (bytes) => chunks.push(bytes);
  board.setStopLoop(true);
  board.run(board.timeS + 0.4);
  send({ verb: 'stream', stream: 'on' });
  const costS = cpuS(() => {
    const from = board.timeS;
    for (let tenth = 0; tenth < seconds * 10; tenth++) {
      for (const request of [{ verb: 'alive' } as const, ...plan(tenth / 10)]) send(request);
      board.run(from + (tenth + 1) / 10);
    }
  });
  send({ verb: 'counters' });
  board.run(board.timeS + 0.05);
  return { chunks, costS };
}

function frameNumbers(chunks: Uint8Array[]): { numbers: number[]; bad: number; counters: string } {
  const numbers: number[] = [];
  let bad = 0;
  let counters = '';
  const reader = createLineReader((text) => {
    const line = decodeLine(text);
    if (line.kind === 'frame') numbers.push(line.frame.number);
    else if (line.kind === 'rubbish') bad++;
    else if (line.kind === 'ok' && line.words.length === 5) {
      const read = readReply('counters', line.words);
      if (read) counters = JSON.stringify(read).replaceAll('"', '');
    }
  });
  for (const chunk of chunks) reader.push(chunk);
  return { numbers, bad, counters };
}

/** Two throws every four seconds, so that the circuit has motors starting, running and coasting. */
function throwing(atS: number): Request[] {
  const tenth = Math.round(atS * 10) % 40;
  if (tenth === 0) return [{ verb: 'clear' }, { verb: 'arm' }, { verb: 'feed', feed: 'full' }];
  if (tenth === 5) return [{ verb: 'throw', position: 'forward', holdMs: 1500 }];
  if (tenth === 15 || tenth === 35) return [{ verb: 'release' }];
  if (tenth === 25) return [{ verb: 'throw', position: 'reverse', holdMs: 1500 }];
  return [];
}

export async function benchBoard(print: (line: string) => void): Promise<void> {
  const alone = stream(new EmulatedBoard({ image: rigImage(), world: IDLE_WORLD }), SECONDS, () => []);
  const { numbers, bad, counters } = frameNumbers(alone.chunks);
  const gaps = numbers.filter((number, index) => number !== index).length;
  print(
    `full scan list, ${SECONDS} emulated seconds: ${numbers.length} frames, ${gaps} out of order, ${bad} bad lines`,
  );
  print(`board's own counters: ${counters}`);
  print(`emulated board alone: ${(SECONDS / alone.costS).toFixed(1)} times real time`);

  const bytes = alone.chunks.reduce((sum, chunk) => sum + chunk.length, 0);
  print(`line used: ${((bytes / SECONDS / LINE_BYTES_PER_S) * 100).toFixed(1)} % of 500 kBd`);
  frameNumbers(alone.chunks);
  const decodeS = cpuS(() => void frameNumbers(alone.chunks));
  print(
    `decode: ${(bytes / decodeS / LINE_BYTES_PER_S) | 0} times the line rate, ${((decodeS / SECONDS) * 100).toFixed(2)} % of one core`,
  );

  for (const id of ['roof-vent-switch', 'entry-step-relays']) {
    const unit = plannedUnit(id);
    const virtualCase = caseSchema.parse({
      id: 'as-it-should-be',
      title: 'As it should be',
      kind: 'case',
      seed: 1,
    });
    const rig = openVirtualRig({ unit, virtualCase, paced: false });
    const withBench = stream(rig.board, SECONDS / 4, throwing);
    rig.close();
    const seen = frameNumbers(withBench.chunks);
    print(
      `with the simulated bench (${id}): ${(SECONDS / 4 / withBench.costS).toFixed(1)} times real time, ${seen.numbers.length} frames, ${seen.bad} bad lines`,
    );
  }
}

export default benchBoard;
