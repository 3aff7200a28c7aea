// `log benches`: which rigs, at which computers, have written into these records, and since when.

import { oneLine } from '../input/index.js';
import { type CommandIo, EXIT, jsonText } from './command.js';
import { when } from './log-text.js';
import { storePlace, withStore } from './stored-runs.js';
import { tableLines } from './table.js';

export function listBenches(io: CommandIo, json: boolean): number {
  const benches = withStore((store) => store.listBenches()) ?? [];
  if (json) io.stdout(jsonText(benches));
  else if (benches.length === 0) io.stdout(`no runs recorded in ${storePlace()}\n`);
  else
    io.stdout(
      tableLines(
        [
          ['rig', 'model', 'computer', 'runs', 'first run', '', 'newest run', ''],
          ...benches.map(({ rigId, model, computer, runs, ...run }) => [
            ...[rigId, model, computer, `${runs}`].map(oneLine),
            ...[run.firstRun, when(run.firstAt), run.newestRun, when(run.newestAt)],
          ]),
        ],
        (column) => column === 3,
      )
        .map((line) => `${line}\n`)
        .join(''),
    );
  return EXIT.pass;
}
