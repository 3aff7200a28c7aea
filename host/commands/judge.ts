// Judges a capture in a file as a unit of a profile.

import { prepareProfile } from '../bench/preparing/index.js';
import { judge, judgementJson } from '../judge/index.js';
import { loadUnit } from '../profile/index.js';
import { type CaptureTold, captureOptions, readCaptureAt } from './capture-told.js';
import { circuitsLike, circuitsText } from './circuits-like.js';
import { type CommandIo, EXIT_OF_VERDICT, jsonText } from './command.js';
import { judgementText } from './judgement-text.js';
import { motorModelJson } from './motor-model.js';
import { type AsRun, unitAsRun } from './unit-as-run.js';

export interface FileAsked extends CaptureTold, AsRun {
  profile: string;
  circuit?: string | undefined;
  stop?: string | undefined;
  json?: boolean | undefined;
}

/** The exit code of the verdict. @throws InputError for a file or profile that cannot be read */
export function judgeFile(file: string, asked: FileAsked, io: CommandIo): number {
  const { read, measure } = captureOptions(asked);
  const asks = asked.circuit === 'auto';
  const instead = asked.circuit === undefined || asks ? undefined : { circuit: asked.circuit };
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
    const circuits = asks ? circuitsLike(capture, unit, measure) : undefined;
    if (asked.json) {
      const model = motorModelJson(capture, unit, measure);
      const json = { ...judgementJson(judgement), model, ...(circuits ? { circuits } : {}) };
      io.stdout(jsonText(json));
    } else {
      io.stdout(judgementText(judgement));
      if (circuits) io.stdout(`\n${circuitsText(circuits, unit)}`);
    }
    return EXIT_OF_VERDICT[judgement.verdict];
  } finally {
    close();
  }
}
