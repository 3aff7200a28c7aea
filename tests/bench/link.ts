// Speed of the host's side of a rig: what taking a full-rate stream costs, how much faster than the line it could go,
// and how fast the emulated rig runs with the simulated bench and the whole host attached. CPU time of this process, not
// wall time, so that a crowded machine does not change the ratios.

import {
  BOARD,
  createLineReader,
  DEFAULT_SCAN,
  decodeLine,
  decodeRequest,
  encodeOk,
  packFrame,
  type Request,
} from '../../firmware-protocol/index.js';
import { drivePlan } from '../../host/bench/index.js';
import { CaptureBuilder } from '../../host/capture/index.js';
import { BoundedReadline } from '../../host/link/bounded-readline.js';
import { VirtualClock } from '../../host/link/index.js';
import { caseSchema, loadRig } from '../../host/profile/index.js';
import { connectRig } from '../../host/rig/index.js';
import { UniformGrid } from '../../host/rig/uniform-grid.js';
import { deviceBinding, Engine, openVirtualRig } from '../../host/virtual-rig/index.js';
import { plannedUnit } from '../profile/planned-unit.js';

const SECONDS = 60;
/** Ten bits a byte at 500 kBd. */
const LINE_BYTES_PER_S = BOARD.baud / 10;
const FRAME_S = BOARD.frameUs / 1e6;
/** What an operating system hands over at most at a time. */
const CHUNK_BYTES = 4096;
const RIG = loadRig('reference-rig');

async function cpuS(work: () => Promise<void>): Promise<number> {
  const before = process.cpuUsage();
  await work();
  const { user, system } = process.cpuUsage(before);
  return (user + system) / 1e6;
}

/** A minute of frames, counts in motion so that no two lines are alike. */
function tape(): string[] {
  return Array.from({ length: SECONDS / FRAME_S }, (_, number) => {
    const counts = Uint16Array.from(DEFAULT_SCAN, (_letter, slot) => (512 + number * 7 + slot * 53) % 1024);
    const position = number % 1000 < 500 ? ('rest' as const) : ('forward' as const);
    return `${packFrame({ number, position, feed: 'full', mode: 'armed', sinceSlot: 0, counts })}\n`;
  });
}

/** Answers as a board does and plays the tape, a frame a millisecond. */
function player(frames: readonly string[]) {
  const clock = new VirtualClock();
  let timeS = 0;
  let startS = Number.POSITIVE_INFINITY;
  let next = 0;
  const say = (line: string): void => binding.transmit(Buffer.from(line, 'latin1'));
  const answers: Partial<Record<Request['verb'], () => (string | number)[]>> = {
    hello: () => [1, '1.0.0', 'tape', 'tape', 'external'],
    constants: () => [BOARD.clockHz, 10, BOARD.frameUs, 18, 100, 300, 250, 60_000, 64],
    scan: () => [DEFAULT_SCAN],
    limits: () => [256, 358, 3, 300],
    counters: () => [next, 0, 0, 0, 0],
    state: () => ['rest', 'off', 'idle', 'none', 'closed', 'on', 0, 0, Math.round(timeS * 1000)],
    alive: () => [Math.round(timeS * 1000)],
  };
  const reader = createLineReader((line) => {
    const asked = decodeRequest(line);
    if (asked === undefined) return;
    if (asked.request.verb === 'stream')
      startS = asked.request.stream === 'on' ? timeS : Number.POSITIVE_INFINITY;
    say(encodeOk(asked.seq, ...(answers[asked.request.verb]?.() ?? [])));
  }, BOARD.requestMaxBytes);
  const binding = deviceBinding('tape', {
    opened: () => {},
    receive: (bytes) => reader.push(bytes),
    closed: () => {},
  });
  const machine = {
    run(untilS: number): void {
      for (; next < frames.length && startS + (next + 1) * FRAME_S <= untilS; next++) say(frames[next]!);
      timeS = untilS;
    },
  };
  const engine = new Engine({ clock, machine, paced: false });
  return { clock, port: { binding, path: 'tape' }, engine };
}

/** The whole host as in a run: port stream, lines, CRC, order, trace, heartbeat, grid, capture; a millisecond at a time. */
async function takeStream(frames: readonly string[]): Promise<{ costS: number; told: string }> {
  const { clock, port, engine } = player(frames);
  const rig = await connectRig({ port, clock, rigProfile: RIG });
  const builder = new CaptureBuilder(rig.facts.sampleRateHz);
  rig.onEvent((event) => {
    if (event.kind === 'samples') builder.add(event.block);
  });
  const costS = await cpuS(async () => {
    await rig.startStream();
    await clock.sleep(SECONDS + 0.1);
  });
  const { framesIn, framesLost, crcErrors } = rig.counters();
  await rig.close();
  engine.stop();
  return {
    costS,
    told: `${framesIn} frames, ${framesLost} lost, ${crcErrors} damaged, ${builder.length} grid points`,
  };
}

/** From bytes to a capture, without waiting for anything. */
async function decode(bytes: Buffer): Promise<number> {
  const grid = new UniformGrid({
    scan: DEFAULT_SCAN,
    frameS: FRAME_S,
    pointsPerFrame: 5,
    scales: RIG.scales,
  });
  const builder = new CaptureBuilder(grid.sampleRateHz);
  const parser = new BoundedReadline(BOARD.boardLineMaxBytes);
  let index = 0;
  parser.on('data', (text: string) => {
    const line = decodeLine(text);
    if (line.kind !== 'frame') throw new Error(`no frame: ${text}`);
    grid.add(line.frame, index++);
    if (index % 10 !== 0) return;
    const block = grid.take();
    if (block) builder.add(block);
  });
  const costS = await cpuS(async () => {
    for (let at = 0; at < bytes.length; at += CHUNK_BYTES) {
      if (!parser.write(bytes.subarray(at, at + CHUNK_BYTES)))
        await new Promise((resolve) => setImmediate(resolve));
    }
    await new Promise((resolve) => parser.end(resolve));
    await new Promise((resolve) => setImmediate(resolve));
  });
  if (index !== SECONDS / FRAME_S) throw new Error(`${index} frames came out of the decoder`);
  return costS;
}

/** Runs of the unit's own plan until a quarter of the time is over: circuit, firmware, driver and capture. */
async function driveUnit(id: string): Promise<{ timesReal: number; told: string }> {
  const unit = plannedUnit(id);
  const virtualCase = caseSchema.parse({
    id: 'as-it-should-be',
    title: 'As it should be',
    kind: 'case',
    seed: 1,
  });
  const virtual = openVirtualRig({ unit, virtualCase, paced: false });
  const { clock } = virtual;
  const rig = await connectRig({ port: virtual, clock, rigProfile: unit.rig });
  const fromS = clock.nowS();
  let samples = 0;
  const costS = await cpuS(async () => {
    while (clock.nowS() - fromS < SECONDS / 4) {
      const { capture, halt } = await drivePlan(rig, unit.plan.steps, {
        trip: unit.rig.trip,
        signal: new AbortController().signal,
        onStep: () => {},
        onSamples: () => {},
      });
      if (halt) throw new Error(`the run was halted: ${halt.reason}`);
      samples += capture.timeS.length;
    }
  });
  const ranS = clock.nowS() - fromS;
  const counters = rig.counters();
  await rig.close();
  virtual.close();
  const lost = `${counters.framesLost} frames lost, board: ${counters['board-framesLost']} lost, ${counters['board-slotsLate']} slots late`;
  return { timesReal: ranS / costS, told: `${ranS.toFixed(0)} s, ${samples} grid points, ${lost}` };
}

export async function benchLink(print: (line: string) => void): Promise<void> {
  const frames = tape();
  const bytes = Buffer.from(frames.join(''), 'latin1');
  print(
    `full rate: ${((bytes.length / SECONDS / LINE_BYTES_PER_S) * 100).toFixed(1)} % of ${BOARD.baud / 1000} kBd, ${SECONDS} s`,
  );
  const { costS, told } = await takeStream(frames);
  print(`host takes it: ${((costS / SECONDS) * 100).toFixed(2)} % of one core (wanted: below 10); ${told}`);
  await decode(bytes);
  const decodeS = await decode(bytes);
  print(
    `bytes to capture: ${Math.floor(bytes.length / decodeS / LINE_BYTES_PER_S)} times the line rate (wanted: 30), ${((decodeS / SECONDS) * 100).toFixed(2)} % of one core`,
  );
  for (const id of ['roof-vent-switch', 'entry-step-relays']) {
    const { timesReal, told: ran } = await driveUnit(id);
    print(
      `emulated rig, bench and host (${id}): ${timesReal.toFixed(1)} times real time (wanted: 2.5); ${ran}`,
    );
  }
}

export default benchLink;
