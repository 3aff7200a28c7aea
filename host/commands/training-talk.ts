// A training run in lines: each line of standard input is one question or answer, for people without a screen and for
// programs (one JSON object a line, the reveal last).

import { createInterface } from 'node:readline';
import {
  type AskedProbe,
  type Nameable,
  type Reveal,
  searchNames,
  type Training,
  type TrainingTools,
} from '../bench/training/index.js';
import {
  EMPTY_VIEW,
  printable,
  readingsLines,
  readingText,
  reduceBench,
  revealLines,
  type Theme,
  TRAINING_NOTICE,
} from '../screens/index.js';
import type { CommandIo } from './command.js';
import { plainLines } from './plain-lines.js';

/** Matches of a search shown at once. */
const MOST_SHOWN = 12;
const HELP =
  'A number measures; words search the faults; `name N` names one of those found; `list`, `menu`, `give up`.';

/** @returns undefined when the run was broken off. */
export async function talkTraining(
  training: Training,
  tools: TrainingTools,
  { json, theme }: { json: boolean; theme: Theme },
  io: CommandIo,
  stdin: NodeJS.ReadableStream,
): Promise<Reveal | undefined> {
  const tell = (lines: readonly string[], object: object): void => {
    io.stdout(json ? `${jsonText(object)}\n` : lines.map((line) => `${printable(theme, line)}\n`).join(''));
  };
  if (!json) tell([TRAINING_NOTICE], {});
  let view = EMPTY_VIEW;
  for await (const event of training.run(tools)) {
    view = reduceBench(view, event);
    if (!json) tell(plainLines(event, view, theme), {});
  }
  const { readings } = training;
  if (readings === undefined) {
    const sentence = 'The run was broken off; there is nothing to name.';
    tell([sentence], { kind: 'training', training: true, aborted: true, sentence });
    return undefined;
  }
  const menu = training.menu.map(({ question }, i) => `${String(i + 1).padStart(3)}  ${question}`);
  tell(['', ...readingsLines(readings), '', 'Measurements:', ...menu, '', HELP], {
    kind: 'training-start',
    training: true,
    readings,
    menu: training.menu,
    names: training.names,
  });
  let found: readonly Nameable[] = training.names;
  const lines = createInterface({ input: stdin, crlfDelay: Number.POSITIVE_INFINITY });
  const stop = (): void => lines.close();
  tools.signal.addEventListener('abort', stop);
  let named: Nameable | undefined;
  try {
    for await (const line of lines) {
      const answer = understand(line, training, found);
      if (answer.kind === 'name') {
        named = answer.named;
        break;
      }
      if (answer.kind === 'give-up') break;
      if (answer.kind === 'asked') tell(askedLines(answer.asked), { kind: 'answer', ...answer.asked });
      else if (answer.kind === 'menu') tell([...menu, HELP], { kind: 'menu', menu: training.menu });
      else if (answer.kind === 'found') {
        found = answer.found;
        tell(foundLines(found, answer.all), { kind: 'found', names: found });
      } else if (answer.kind === 'wrong')
        tell([answer.sentence], { kind: 'wrong', sentence: answer.sentence });
    }
  } finally {
    tools.signal.removeEventListener('abort', stop);
    lines.close();
  }
  const reveal = training.reveal(named);
  tell(['', ...revealLines(reveal)], { kind: 'training', training: true, aborted: false, ...reveal });
  return reveal;
}

type Answer =
  | { kind: 'asked'; asked: AskedProbe }
  | { kind: 'name'; named: Nameable }
  | { kind: 'found'; found: readonly Nameable[]; all: boolean }
  | { kind: 'menu' }
  | { kind: 'give-up' }
  | { kind: 'nothing' }
  | { kind: 'wrong'; sentence: string };

function understand(line: string, training: Training, found: readonly Nameable[]): Answer {
  const text = line.trim();
  const small = text.toLowerCase();
  if (small === '') return { kind: 'nothing' };
  if (small === 'give up') return { kind: 'give-up' };
  if (small === 'menu' || small === 'help' || small === '?') return { kind: 'menu' };
  if (small === 'list') return { kind: 'found', found: training.names, all: true };
  const probe = /^\d+$/.test(text)
    ? training.menu[Number(text) - 1]
    : training.menu.find(({ id }) => id === small);
  if (probe) return { kind: 'asked', asked: training.ask(probe.id) };
  if (/^\d+$/.test(text))
    return { kind: 'wrong', sentence: `There is no measurement ${text}; type 1 to ${training.menu.length}.` };
  const wanted = /^name\s+(.+)$/i.exec(text)?.[1];
  if (wanted === undefined) return { kind: 'found', found: searchNames(training.names, text), all: false };
  if (/^\d+$/.test(wanted)) {
    const named = found[Number(wanted) - 1];
    return named
      ? { kind: 'name', named }
      : { kind: 'wrong', sentence: `There is no ${wanted} in what was found last.` };
  }
  const exact = training.names.find(({ id }) => id === wanted.toLowerCase());
  const matches = exact ? [exact] : searchNames(training.names, wanted);
  const [only] = matches;
  if (only && matches.length === 1) return { kind: 'name', named: only };
  return { kind: 'found', found: matches, all: false };
}

function askedLines({ question, answer }: AskedProbe): string[] {
  return [
    question,
    ...answer.readings.map((reading) => `  ${readingText(reading)}`),
    ...(answer.note === undefined ? [] : [`  ${answer.note}`]),
  ];
}

function foundLines(found: readonly Nameable[], all: boolean): string[] {
  if (found.length === 0) return ['Nothing in the list has all these words; `list` shows it whole.'];
  const shown = all ? found : found.slice(0, MOST_SHOWN);
  const rest = found.length - shown.length;
  return [
    ...shown.map(({ sentence }, i) => `${String(i + 1).padStart(3)}  ${sentence}`),
    ...(rest > 0 ? [`     and ${rest} more: add a word`] : []),
    'name N names one of these.',
  ];
}

/** An open circuit is no number in JSON. */
const jsonText = (object: object): string =>
  JSON.stringify(object, (_key, value: unknown) =>
    typeof value === 'number' && !Number.isFinite(value) ? (value > 0 ? 'open' : null) : value,
  );
