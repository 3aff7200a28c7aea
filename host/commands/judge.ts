// Judges a capture in a file as a unit of a profile.

import { oneLine } from '../input/index.js';
import { asWitnessed, judge } from '../judge/index.js';
import { loadUnit } from '../profile/index.js';
import { VERDICT_WORDS } from '../tell/index.js';
import { type CaptureTold, captureOptions, readCaptureAt } from './capture-told.js';
import { type CommandIo, EXIT_OF_VERDICT } from './command.js';
import { FileTable } from './file-table.js';
import { circuitAsked, judgementTold, type ToldJudgement, tellJudgement } from './judgement-told.js';
import { type AsRun, unitAsRun } from './unit-as-run.js';
import { witnessedPreparations } from './witnessed-preparations.js';

export interface FileAsked extends CaptureTold, AsRun {
  profile: string;
  circuit?: string | undefined;
  motor?: string | undefined;
  stop?: string | undefined;
  json?: boolean | undefined;
}

/**
 * One file in full, several in a table or in one JSON line each; a bad one does not stop the others.
 * @returns the exit code of the verdict, of several the gravest. @throws InputError for a profile, or the one file, that
 * cannot be read
 */
export function judgeFiles(files: readonly string[], asked: FileAsked, io: CommandIo): number {
  const options = captureOptions(asked);
  const { measure } = options;
  const { asks, instead } = circuitAsked(asked.circuit, asked.motor);
  const unit = unitAsRun(loadUnit(asked.profile, undefined, instead), asked);
  const prepared = witnessedPreparations({ findings: true });
  const judged = (file: string): ToldJudgement => {
    const capture = readCaptureAt(io, file, options);
    const witnessed = asWitnessed(unit, capture);
    const { expectation, library } = prepared.of(witnessed);
    const judgement = judge({
      unit: witnessed,
      capture,
      expectation: expectation(),
      library,
      stop: asked.stop,
      measuring: measure,
    });
    return { judgement, unit, capture, measure, asks, json: asked.json === true };
  };
  try {
    const [only, ...more] = files;
    if (only !== undefined && more.length === 0) {
      const told = judged(only);
      const notes = notesOn(told, asked);
      tellJudgement(told, io, notes.length === 0 ? {} : { notes });
      if (!asked.json && notes.length > 0) io.stdout(`\n${notes.map(oneLine).join('\n')}\n`);
      return EXIT_OF_VERDICT[told.judgement.verdict];
    }
    const table = new FileTable(files, judged);
    if (asked.json)
      io.stdout(table.jsonLines((told) => judgementTold(told, { notes: notesOn(told, asked) })));
    else io.stdout(table.lines(['file', 'verdict', ''], verdictCells));
    return table.exitOf(({ judgement }) => EXIT_OF_VERDICT[judgement.verdict]);
  } finally {
    prepared.close();
  }
}

const OF_THE_RIG =
  'Nothing is said of the instrument: each ± is that of the profile\'s rig. Say --accuracy, such as "1.5 % + 20 mA".';

/** What was understood of the file, and what is not known of its instrument. */
const notesOn = ({ capture }: ToldJudgement, { accuracy }: FileAsked): string[] => [
  ...(capture?.notes ?? []),
  ...(capture?.isForeign && accuracy === undefined ? [OF_THE_RIG] : []),
];

/** The verdict, and behind it what leads to it. */
const verdictCells = ({ judgement }: ToldJudgement): string[] => [
  VERDICT_WORDS[judgement.verdict],
  judgement.findings[0]?.sentence ?? judgement.sentence,
];
