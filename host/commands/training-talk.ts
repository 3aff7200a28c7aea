// A training run in lines: each line of standard input is one question or answer, for people without a screen and for
// programs (one JSON object a line, the reveal last).

import { createInterface } from 'node:readline';
import {
  type Nameable,
  type Reveal,
  searchNames,
  type Training,
  type TrainingTools,
} from '../bench/training/index.js';
import {
  askedLines,
  EMPTY_VIEW,
  printable,
  readingsLines,
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
    io.stdout(json ? `${jsonLine(object)}\n` : lines.map((line) => `${printable(theme, line)}\n`).join(''));
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
  tell(['', ...readingsLines(readings), '', 'Measurements:', ...menuLines(training), '', HELP], {
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
      if (answer === 'give up') break;
      if (answer === undefined) continue;
      if ('named' in answer) {
        named = answer.named;
        break;
      }
      found = answer.found ?? found;
      tell(answer.lines, answer.object);
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
  | 'give up'
  | { named: Nameable }
  | { lines: readonly string[]; object: object; found?: readonly Nameable[] };

/** Undefined for an empty line. */
function understand(line: string, training: Training, found: readonly Nameable[]): Answer | undefined {
  const text = line.trim();
  const small = text.toLowerCase();
  if (small === '') return undefined;
  if (small === 'give up') return small;
  if (small === 'menu' || small === 'help' || small === '?')
    return { lines: [...menuLines(training), HELP], object: { kind: 'menu', menu: training.menu } };
  if (small === 'list') return foundAnswer(training.names, training.names.length);
  const isNumber = /^\d+$/.test(text);
  const probe = isNumber ? training.menu[Number(text) - 1] : training.menu.find(({ id }) => id === small);
  if (probe) {
    const asked = training.ask(probe.id);
    return { lines: askedLines(asked), object: { kind: 'answer', ...asked } };
  }
  if (isNumber) return wrong(`There is no measurement ${text}; type 1 to ${training.menu.length}.`);
  const wanted = /^name\s+(.+)$/i.exec(text)?.[1];
  if (wanted === undefined) return foundAnswer(searchNames(training.names, text));
  if (/^\d+$/.test(wanted)) {
    const named = found[Number(wanted) - 1];
    return named ? { named } : wrong(`There is no ${wanted} in what was found last.`);
  }
  const exact = training.names.find(({ id }) => id === wanted.toLowerCase());
  const matches = exact ? [exact] : searchNames(training.names, wanted);
  const [only, more] = matches;
  return only && !more ? { named: only } : foundAnswer(matches);
}

const menuLines = ({ menu }: Training): string[] =>
  menu.map(({ question }, i) => `${String(i + 1).padStart(3)}  ${question}`);

const wrong = (sentence: string): Answer => ({ lines: [sentence], object: { kind: 'wrong', sentence } });

const foundAnswer = (found: readonly Nameable[], most = MOST_SHOWN): Answer => ({
  ...{ lines: foundLines(found, most), object: { kind: 'found', names: found }, found },
});

function foundLines(found: readonly Nameable[], most: number): string[] {
  if (found.length === 0) return ['Nothing in the list has all these words; `list` shows it whole.'];
  const shown = found.slice(0, most);
  const rest = found.length - shown.length;
  return [
    ...shown.map(({ sentence }, i) => `${String(i + 1).padStart(3)}  ${sentence}`),
    ...(rest > 0 ? [`     and ${rest} more: add a word`] : []),
    'name N names one of these.',
  ];
}

/** An open circuit is no number in JSON. */
const jsonLine = (object: object): string =>
  JSON.stringify(object, (_key, value: unknown) =>
    typeof value === 'number' && !Number.isFinite(value) ? (value > 0 ? 'open' : null) : value,
  );
