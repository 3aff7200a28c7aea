// Judges a capture in a file as a unit of a profile.

import { prepareProfile } from '../bench/preparing/index.js';
import { judge } from '../judge/index.js';
import { loadUnit } from '../profile/index.js';
import { type CaptureTold, captureOptions, readCaptureAt } from './capture-told.js';
import { type CommandIo, EXIT_OF_VERDICT } from './command.js';
import { circuitAsked, tellJudgement } from './judgement-told.js';
import { type AsRun, unitAsRun } from './unit-as-run.js';

export interface FileAsked extends CaptureTold, AsRun {
  profile: string;
  circuit?: string | undefined;
  motor?: string | undefined;
  stop?: string | undefined;
  json?: boolean | undefined;
}

/** The exit code of the verdict. @throws InputError for a file or profile that cannot be read */
export function judgeFile(file: string, asked: FileAsked, io: CommandIo): number {
  const { read, measure } = captureOptions(asked);
  const { asks, instead } = circuitAsked(asked.circuit, asked.motor);
  const unit = unitAsRun(loadUnit(asked.profile, undefined, instead), asked);
  // A second thread is at work on the profile while the file is read.
  const { expectation, library, close } = prepareProfile(unit, { findings: true });
  try {
    const capture = readCaptureAt(io, file, read);
    const judgement = judge({
      unit,
      capture,
      expectation: expectation(),
      library,
      stop: asked.stop,
      measuring: measure,
    });
    tellJudgement({ judgement, unit, capture, measure, asks, json: asked.json === true }, io);
    return EXIT_OF_VERDICT[judgement.verdict];
  } finally {
    close();
  }
}
