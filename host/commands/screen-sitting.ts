// A sitting with the bench screen: the controller, what stops an attempt, what ends the sitting, and the way back to the
// terminal. What happens at the bench is handed in as events.

import type { BenchEvent } from '../bench/index.js';
import { known } from '../fields/index.js';
import { wallClock } from '../link/index.js';
import {
  BenchController,
  type BenchControllerOptions,
  type BenchView,
  probedNow,
  showBench,
  themeFor,
} from '../screens/index.js';
import type { TrayControl } from './bench-driver.js';
import { type CommandIo, EXIT } from './command.js';
import { closingTable } from './plain-lines.js';
import type { BenchPlace, ProbeOn } from './rooms/talks.js';
import { onSignals } from './signals.js';

export interface ScreenSitting {
  screen: NonNullable<CommandIo['terminal']>;
  options: Pick<
    BenchControllerOptions,
    | 'startsByItself'
    | 'cautionsDue'
    | 'onRead'
    | 'onScan'
    | 'where'
    | 'isResumed'
    | 'onOtherProfile'
    | 'isVirtual'
  >;
  /** Typed by a foot switch in place of Enter. */
  startKey?: string | undefined;
  /** Whether a verdict is also heard. */
  bell?: boolean | undefined;
  /** Where the bench stands, once that is known. */
  place?(): BenchPlace | undefined;
  /** The rig that can read a probe of the unit with this tag, which hangs on it. */
  probeOn?(tag: string): ProbeOn | undefined;
  /** Called when the screen stands: the cautions must have been seen before anything is thrown. */
  start(control: TrayControl, controller: BenchController): AsyncIterable<BenchEvent>;
}

/** Resolves to what stood on the screen at the end, told as a table on standard output. */
export async function sitAtScreen(sitting: ScreenSitting, io: CommandIo): Promise<BenchView> {
  const { screen, options, startKey, bell, place, probeOn, start } = sitting;
  const whole = new AbortController();
  let attempt = new AbortController();
  const controller: BenchController = new BenchController({
    ...options,
    stop: () => attempt.abort(),
    leave: () => whole.abort(),
    clock: wallClock,
    rooms: async () => {
      const { roomsOf } = await import('./rooms/index.js');
      const probed = () => probedNow(controller.state.bench);
      return roomsOf({ io, rigNow: () => controller.state.bench.rig, probed, ...known({ place, probeOn }) });
    },
    probe: async (run) => {
      const { probing } = await import('./rooms/talks.js');
      return probing(io, run, probeOn?.(run.tag)).open();
    },
  });
  const release = onSignals(() => controller.press('leave'));
  let failure: unknown;
  let consumed: Promise<void> = Promise.resolve();
  const control: TrayControl = {
    signal: whole.signal,
    attemptSignal: () => {
      attempt = new AbortController();
      return attempt.signal;
    },
    beforeUnit: (next) => controller.beforeUnit(next),
    afterUnit: (ended) => controller.afterUnit(ended),
    confirm: () => controller.confirm(),
    choose: () => controller.choose(),
    whichWay: (question) => controller.whichWay(question),
  };
  const theme = themeFor(process.env);
  const begin = (): void => {
    consumed = controller.consume(start(control, controller)).catch((error: unknown) => {
      failure = error;
      // The screen would wait for a bench that has ended.
      controller.press('leave');
    });
  };
  try {
    const how = known({ startKey, bell });
    const { forced } = await showBench(controller, screen, theme, begin, how);
    if (forced) process.exit(EXIT.cannotTell);
  } finally {
    // Also when drawing failed: nothing stays on behind a screen that is gone.
    attempt.abort();
    whole.abort();
    await consumed;
    // What was opened in a room is closed, its outputs off, before the program may end.
    await controller.settled();
    release();
  }
  if (failure !== undefined) throw failure;
  const view = controller.state.bench;
  if (view.units.length > 0) io.stdout(closingTable(view, theme, io.columns));
  return view;
}
