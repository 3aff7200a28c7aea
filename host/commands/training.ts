// `throwbench run --virtual random`: a training run. Opens the virtual rig, then talks by screen, lines or JSON.

import { openDesk } from '../bench/index.js';
import { Training, type TrainingTools } from '../bench/training/index.js';
import { type ResolvedUnit, thrownAsPlanned } from '../profile/index.js';
import { printable, revealLines, showTraining, themeFor, wrapWords } from '../screens/index.js';
import { type CommandIo, EXIT, screenOf, UsageError } from './command.js';
import { openVirtual } from './open-bench.js';
import { onLeave } from './signals.js';
import { talkTraining } from './training-talk.js';

export interface TrainingRequest {
  unit: ResolvedUnit;
  /** The same hidden fault again; another one each time where it is not told. */
  seed?: number | undefined;
  json: boolean;
  plain: boolean;
}

/** Seeds drawn here stay short enough to be written down. */
const MOST_DRAWN = 1_000_000;
const drawn = (): number => Math.floor(Math.random() * MOST_DRAWN);

/** @returns 0 named rightly, 1 wrongly, 3 not named or the run was broken off. */
export async function trainAtBench(
  { unit: given, seed = drawn(), json, plain }: TrainingRequest,
  io: CommandIo,
  stdin: NodeJS.ReadableStream = process.stdin,
): Promise<number> {
  if (given.unit.subject === 'relay')
    throw new UsageError(`training wants a unit that is thrown; ${given.unit.id} is a relay alone`);
  const unit = thrownAsPlanned(given);
  const screen = screenOf(io, { json, plain });
  const training = new Training(unit, seed);
  const desk = openDesk();
  const abort = new AbortController();
  const tools: TrainingTools = {
    connect: (virtualCase) => openVirtual(unit, virtualCase, screen !== undefined),
    desk,
    signal: abort.signal,
    now: () => new Date(),
  };
  const leave = (): void => abort.abort();
  const release = onLeave(io, leave);
  try {
    const theme = themeFor(process.env);
    const reveal = screen
      ? await showTraining(training, tools, abort, screen, theme)
      : await talkTraining(training, tools, { json, theme }, io, stdin);
    // The screen is gone; what was learned stays in the terminal.
    if (screen && reveal) {
      const lines = revealLines(reveal).flatMap((line) => wrapWords(line, io.columns - 1));
      io.stdout(lines.map((line) => `${printable(theme, line)}\n`).join(''));
    }
    if (reveal?.named === undefined) return EXIT.cannotTell;
    return reveal.right ? EXIT.pass : EXIT.fail;
  } finally {
    release();
    await desk.close();
  }
}
