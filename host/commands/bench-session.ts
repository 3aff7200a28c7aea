// One sitting at the bench for `run` and `tray`: chooses screen, plain lines or JSON, takes signals, and turns the
// tray into an exit code. The bench itself is handed in as a BenchDriver.

import type { WayQuestion } from '../bench/index.js';
import { known } from '../fields/index.js';
import { rigThrown } from '../profile/index.js';
import { type BenchView, EMPTY_VIEW, reduceBench, themeFor, trayVerdict } from '../screens/index.js';
import type { BenchDriver, OpenBench, SessionRequest, SessionUnit } from './bench-driver.js';
import { type CommandIo, EXIT, EXIT_OF_VERDICT, screenOf, UsageError } from './command.js';
import { closingTable, plainLines } from './plain-lines.js';
import { sitAtScreen } from './screen-sitting.js';
import { onSignals } from './signals.js';

export type { BenchDriver, OpenBench, SessionRequest, SessionUnit, TrayControl } from './bench-driver.js';

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
  const { port, rigId, settings = {} } = request;
  const { startKey, bell } = settings;
  const where = port === undefined ? 'virtual bench' : `${rigId ? `rig ${rigId}` : 'a rig'} on ${port}`;
  const cautionsDue = driver.cautions?.areDue() ?? true;
  const onRead = driver.cautions?.onRead;
  const view = await sitAtScreen(
    {
      screen,
      options: {
        startsByItself: port === undefined,
        isResumed: request.sittingId !== undefined,
        ...{ cautionsDue, where },
        ...known({ onRead }),
      },
      ...{ startKey, bell },
      place: () => (port === undefined ? 'virtual' : { port }),
      probeOn: (tag) => {
        if (port !== undefined) return { port, rigId };
        const { virtualCase } = request.units.find((unit) => unit.tag === tag) ?? {};
        return virtualCase && { virtualCase };
      },
      start: (control) => driver.runTray(control),
    },
    io,
  );
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
  if (request.settings?.askWay && request.port !== undefined && (options.json || io.terminal === undefined))
    io.stderr('which way the output goes is not asked: nobody sits here to see it\n');
  let view: BenchView = EMPTY_VIEW;
  const stdin = request.port === undefined ? undefined : io.terminal?.stdin;
  const asked = options.json ? undefined : io.terminal?.stdin;
  try {
    const events = driver.runTray({
      signal: abort.signal,
      beforeUnit: async ({ tag }) => {
        if (request.port === undefined || io.terminal === undefined || options.json) return 'go';
        await told();
        io.stderr(`Put ${tag} on the bench, then press Enter; Ctrl-C: outputs off\n`);
        await nextLine(io.terminal.stdin, abort.signal);
        return 'go';
      },
      ...known({
        confirm:
          stdin &&
          (() =>
            told()
              .then(() => nextLine(stdin, abort.signal))
              .then(() => undefined)),
        whichWay:
          asked &&
          ((question: WayQuestion) =>
            told().then(() => placeTyped(question, () => nextLine(asked, abort.signal), io.stderr))),
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

const MOST_TRIES = 3;

/** Place of the answer that is typed by its number or its words; undefined where nothing of the kind is. */
async function placeTyped(
  { choices }: WayQuestion,
  line: () => Promise<string>,
  say: (text: string) => void,
): Promise<number | undefined> {
  for (let tries = 1; tries <= MOST_TRIES; tries++) {
    const typed = (await line()).trim().toLowerCase();
    if (typed === '') return undefined;
    const place = choices.findIndex((words, i) => typed === `${i + 1}` || typed === words.toLowerCase());
    if (place >= 0) return place;
    if (tries < MOST_TRIES) say(`type a number from 1 to ${choices.length}, or Enter alone for no answer\n`);
  }
  return undefined;
}

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
    // Paused after the line before, it would stay so.
    stdin.resume();
    signal.addEventListener('abort', done);
    if (signal.aborted) done();
  });
}
