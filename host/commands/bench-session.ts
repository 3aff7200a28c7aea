// One sitting at the bench for `run` and `tray`: chooses screen, plain lines or JSON, takes signals, and turns the
// tray into an exit code. The bench itself is handed in as a BenchDriver.

import type { BenchEvent, OfferTools } from '../bench/index.js';
import { known } from '../fields/index.js';
import { wallClock } from '../link/index.js';
import { type MotorProfile, type ResolvedUnit, rigThrown, type VirtualCase } from '../profile/index.js';
import {
  BenchController,
  type BenchView,
  EMPTY_VIEW,
  reduceBench,
  showBench,
  themeFor,
  trayVerdict,
} from '../screens/index.js';
import { type CommandIo, EXIT, EXIT_OF_VERDICT, screenOf, UsageError } from './command.js';
import { closingTable, plainLines } from './plain-lines.js';
import { onSignals } from './signals.js';

export interface SessionUnit {
  tag: string;
  unit: ResolvedUnit;
  /** What the virtual bench has on it; absent on a real rig. */
  virtualCase?: VirtualCase;
  /** The motor on the virtual bench, where it is judged as another one. */
  trueMotor?: MotorProfile;
}

export interface SessionRequest {
  units: SessionUnit[];
  /** Path of a real rig's port; the virtual bench when absent. */
  port?: string;
  /** The rig that must be on that port; any when absent. */
  rigId?: string;
  /** Tells which circuit a run reads like; without it nobody is asked. */
  readCircuit?: OfferTools['readCircuit'];
}

/** A bench ready to run: everything that the user could have got wrong has been looked at. */
export interface BenchDriver {
  /** An abort of `signal` puts outputs off at once, ends the unit in hand and starts no further one. */
  runTray(control: {
    signal: AbortSignal;
    beforeUnit(index: number): Promise<void>;
    /** Resolves when the person has done what a prompt asks; absent where there is nobody to ask. */
    confirm?(): Promise<void>;
    /** Resolves to whether the person says yes to a prompt; absent where there is nobody to ask. */
    choose?(): Promise<boolean>;
  }): AsyncIterable<BenchEvent>;
  close(): Promise<void>;
}

/** Throws before anything is shown when the port is wrong. `paced` keeps the virtual bench to the wall clock. */
export type OpenBench = (
  request: SessionRequest,
  how: { paced: boolean; cwd: string },
) => Promise<BenchDriver>;

export interface SessionOptions {
  json: boolean;
  plain: boolean;
}

export async function sitAtBench(
  request: SessionRequest,
  options: SessionOptions,
  io: CommandIo,
  openBench: OpenBench,
): Promise<number> {
  const screen = screenOf(io, options);
  const isReal = request.port !== undefined;
  if (isReal && request.units.length > 1 && (options.json || io.terminal === undefined)) {
    throw new UsageError(
      'a tray on a real rig needs a person to change units: call it in a terminal without --json, or call run once a unit',
    );
  }
  if (isReal && !(io.isAttended ?? io.terminal !== undefined)) refuseUnattended(request.units);
  const driver = await openBench(request, { paced: screen !== undefined || isReal, cwd: io.cwd });
  try {
    return screen
      ? await withScreen(screen, request, io, driver)
      : await withLines(request, options, io, driver);
  } finally {
    await driver.close();
  }
}

/** @throws UsageError for a switch that a person must throw, naming the profile that has the rig throw instead. */
function refuseUnattended(units: readonly SessionUnit[]): void {
  const byHand = units.find(({ unit }) => unit.plan.throwBy === 'operator')?.unit;
  if (byHand === undefined) return;
  const instead = rigThrown(byHand);
  const mend =
    instead === undefined
      ? 'copy the profile with throwBy: rig'
      : `name --profile ${instead} for a bench without a person`;
  const loss =
    byHand.style.thrownBy === 'stand-in' ? ": the rig's stand-in throws, the switch is not tested" : '';
  throw new UsageError(`${byHand.unit.id} is thrown by hand, and nobody sits here; ${mend}${loss}`);
}

async function withScreen(
  screen: NonNullable<CommandIo['terminal']>,
  request: SessionRequest,
  io: CommandIo,
  driver: BenchDriver,
): Promise<number> {
  const abort = new AbortController();
  const controller = new BenchController({
    stop: () => abort.abort(),
    clock: wallClock,
    startsByItself: request.port === undefined,
  });
  const release = onSignals(() => controller.press('leave'));
  let failure: unknown;
  let consumed: Promise<void> = Promise.resolve();
  // Only when the screen stands: the cautions must have been seen before anything is thrown.
  const start = (): void => {
    const events = driver.runTray({
      signal: abort.signal,
      beforeUnit: (index) => controller.beforeUnit(index, request.units[index]?.tag ?? ''),
      confirm: () => controller.confirm(),
      choose: () => controller.choose(),
    });
    consumed = controller.consume(events).catch((error: unknown) => {
      failure = error;
      // The screen would wait for a bench that has ended.
      controller.press('leave');
    });
  };
  const theme = themeFor(process.env);
  try {
    const { forced } = await showBench(controller, screen, theme, start);
    if (forced) process.exit(EXIT.cannotTell);
  } finally {
    // Also when drawing failed: nothing stays on behind a screen that is gone.
    abort.abort();
    await consumed;
    release();
  }
  if (failure !== undefined) throw failure;
  const view = controller.state.bench;
  io.stdout(closingTable(view, theme, io.columns));
  return EXIT_OF_VERDICT[trayVerdict(view)];
}

async function withLines(
  request: SessionRequest,
  options: SessionOptions,
  io: CommandIo,
  driver: BenchDriver,
): Promise<number> {
  const abort = new AbortController();
  const theme = themeFor(process.env);
  let signals = 0;
  const release = onSignals(() => {
    signals += 1;
    if (signals > 1) process.exit(EXIT.cannotTell);
    io.stderr('outputs off is sent; waiting for the rig to end the run (again: leave at once)\n');
    abort.abort();
  });
  const onClosed = (): void => abort.abort();
  io.closed?.addEventListener('abort', onClosed);
  // The judging's own modules load for JSON only.
  const json = options.json ? await import('./bench-json.js') : undefined;
  let view: BenchView = EMPTY_VIEW;
  const stdin = request.port === undefined ? undefined : io.terminal?.stdin;
  const asked = options.json ? undefined : io.terminal?.stdin;
  try {
    const events = driver.runTray({
      signal: abort.signal,
      beforeUnit: async (index) => {
        if (request.port === undefined || io.terminal === undefined || options.json) return;
        await told();
        io.stderr(`Put ${request.units[index]?.tag} on the bench, then press Enter; Ctrl-C: outputs off\n`);
        await nextLine(io.terminal.stdin, abort.signal);
      },
      ...known({
        confirm:
          stdin &&
          (() =>
            told()
              .then(() => nextLine(stdin, abort.signal))
              .then(() => undefined)),
        choose: asked && (async () => /^\s*y/i.test(await told().then(() => nextLine(asked, abort.signal)))),
      }),
    });
    for await (const event of events) {
      view = reduceBench(view, event);
      if (json) {
        // A person has to read it; the lines of JSON are for programs.
        if (event.kind === 'prompt' && event.prompt.sentence !== '') io.stderr(`${event.prompt.sentence}\n`);
        const line = json.jsonLine(event, view);
        if (line !== undefined) io.stdout(`${line}\n`);
      } else {
        for (const line of plainLines(event, view, theme)) io.stdout(`${line}\n`);
      }
    }
  } finally {
    release();
    io.closed?.removeEventListener('abort', onClosed);
  }
  io.stdout(
    json
      ? `${json.jsonSummary(view)}\n`
      : `\n${closingTable(view, theme, io.isTty ? io.columns : undefined)}`,
  );
  return EXIT_OF_VERDICT[trayVerdict(view)];
}

/** Lets the lines of the unit before, or the cautions, come out first. */
const told = (): Promise<void> => new Promise((resolve) => setImmediate(resolve));

/** Resolves to the next line of input, empty when aborted. */
function nextLine(stdin: NodeJS.ReadStream, signal: AbortSignal): Promise<string> {
  return new Promise((resolve) => {
    let line = '';
    const done = (): void => {
      stdin.off('data', onData);
      signal.removeEventListener('abort', done);
      stdin.pause();
      resolve(signal.aborted ? '' : line);
    };
    const onData = (chunk: Buffer | string): void => {
      line += String(chunk);
      if (line.includes('\n')) done();
    };
    stdin.on('data', onData);
    signal.addEventListener('abort', done);
    if (signal.aborted) done();
  });
}
