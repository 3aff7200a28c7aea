// What the verdicts of a profile rest on: how good units behave, and what every fault would read. Found where an earlier
// process left it, else worked out in this thread and a second one. Waits where it is asked, so that judging stays plain
// calls.

import { availableParallelism } from 'node:os';
import { diagnosisLibrary, LibraryWork } from '../../diagnose/index.js';
import {
  type CauseLibrary,
  causeLibrary,
  type Expectation,
  expectation,
  goodDraws,
} from '../../judge/index.js';
import type { ResolvedUnit } from '../../profile/index.js';
import { Helpers } from '../threads/index.js';
import { kept } from './kept.js';

export interface Preparation {
  /** @throws CircuitError when the profile's circuit cannot be solved. */
  expectation(): Expectation;
  library(): CauseLibrary;
  /** Keeps what is new, and ends the second thread; may be called again after further judging. */
  close(): void;
}

export interface PreparationOptions {
  /** Whether the second thread goes on to what the faults would read. */
  findings: boolean;
  /** Another thread takes part; by default when the machine has a core for it. */
  helper?: boolean;
  /** Where it is kept between processes, instead of the user's own folder for such. */
  dir?: string;
}

/**
 * Cores below which a second thread costs more than it gives: the engine itself needs another one for compiling while a
 * profile is cold (1.4 s of processor time beside 1.8 s, and 1.4 s more for the second thread to warm up).
 */
const CORES_WORTH_A_THREAD = 3;

/** Starts at once, unless it is known. A relay by itself has no draws to share. */
export function prepareProfile(ofDay: ResolvedUnit, options: PreparationOptions): Preparation {
  // What the rig has proven of itself before a run was not known when this was prepared, and changes none of it.
  const { proven: _, ...ofRig } = ofDay.rig;
  // Nor does which way its output went, as somebody saw it.
  const { way: __, ...asRun } = ofDay;
  const unit = { ...asRun, rig: ofRig };
  // What the rig reads by moves no good unit: a calibrated rig meets what was prepared before it was opened.
  const { scales, ...rig } = ofRig;
  // What good units have taught stands beside what is worked out here, and changes none of it.
  const { learned, learnedFile, ...taught } = unit;
  const keptGood = kept<Expectation>('good units', { ...taught, rig }, options.dir);
  const keptCauses = kept<CauseLibrary>('causes', taught, options.dir);
  let expected = keptGood.find();
  let causes: CauseLibrary | undefined;
  /** Answers in what lies on disk. */
  let answers = -1;
  const work = expected === undefined ? workOn(unit, options) : alone(unit);
  return {
    expectation: () => {
      if (expected === undefined) {
        expected = work.expectation();
        keptGood.keep(expected);
      }
      return expected;
    },
    library: () => {
      if (causes === undefined) {
        causes = keptCauses.find();
        answers = causes === undefined ? -1 : answersIn(causes);
        causes ??= work.library();
      }
      return causes;
    },
    close: () => {
      work.close();
      if (causes === undefined || answersIn(causes) === answers) return;
      keptCauses.keep(causes);
      answers = answersIn(causes);
    },
  };
}

/** Probes whose answers stand with the causes. */
const answersIn = ({ entries }: CauseLibrary): number =>
  entries.reduce((sum, { answers }) => sum + Object.keys(answers).length, 0);

const alone = (unit: ResolvedUnit): Preparation => ({
  expectation: () => expectation(unit),
  library: () => causeLibrary(unit),
  close: () => {},
});

function workOn(unit: ResolvedUnit, { findings, helper }: PreparationOptions): Preparation {
  const hasThread = helper ?? availableParallelism() >= CORES_WORTH_A_THREAD;
  if (unit.unit.subject === 'relay' || !hasThread) return alone(unit);
  const stages = [{ of: 'good-units' as const }, ...(findings ? [{ of: 'faults' as const }] : [])];
  const helpers = new Helpers(unit, stages, 1);
  return {
    expectation: () => expectation(unit, {}, helpers.together(goodDraws(unit), 0)),
    library: () =>
      findings
        ? diagnosisLibrary(unit, {}, helpers.together(new LibraryWork(unit), 1))
        : diagnosisLibrary(unit),
    close: () => helpers.close(),
  };
}
