// Runs and captures of known good units as learning takes them. Whatever may not teach is refused in one line.

import { createHash } from 'node:crypto';
import { type Dirent, readdirSync, readFileSync } from 'node:fs';
import { basename, extname, join, resolve } from 'node:path';
import type { Capture } from '../capture/index.js';
import { displayPath, InputError, oneLine, readFault } from '../input/index.js';
import { asWitnessed, type Judgement, judge } from '../judge/index.js';
import { type GoodRun, isAmbientTold, typedAlike } from '../learn/index.js';
import { loadUnit, type ResolvedUnit } from '../profile/index.js';
import type { RunRecord, Store } from '../records/index.js';
import { withoutStop } from '../tell/index.js';
import { captureOptions, readCaptureAt } from './capture-told.js';
import type { CommandIo } from './command.js';
import { knownRun, noRuns, withStore } from './stored-runs.js';
import { type AsRun, unitAsRun } from './unit-as-run.js';
import { witnessedPreparations } from './witnessed-preparations.js';

export interface RunsAsked extends AsRun {
  profile: string;
  /** Ids, with commas between. */
  runs?: string | undefined;
  /** Folder of captures. */
  captures?: string | undefined;
}

/** One run before it is judged. */
interface Taken {
  tag: string;
  run: string;
  sha256: string;
  capture: Capture;
  stop: string | undefined;
  unit: ResolvedUnit;
}

/**
 * @param takesFailed of a batch that is looked at and teaches nothing
 * @param leavesOut notes which of the recorded runs may not stand among the others, in place of refusing all
 * @throws InputError for a run that may not teach: of another profile or rig, in doubt, failed, broken off
 */
export function goodRuns(
  asked: RunsAsked,
  io: CommandIo,
  { takesFailed = false, leavesOut = false }: { takesFailed?: boolean; leavesOut?: boolean } = {},
): { unit: ResolvedUnit; runs: GoodRun[]; notes: string[] } {
  const { learned: _, learnedFile: __, ...unit } = unitAsRun(loadUnit(asked.profile), asked);
  if (unit.unit.subject !== 'harness-with-motor' && unit.unit.subject !== 'motor')
    throw new InputError({
      file: asked.profile,
      what: 'limits are learned of motors, and this profile has none',
      mend: 'name a profile with a motor',
    });
  const notes: string[] = asked.runs === undefined ? leftAloneIn(asked.captures ?? '', io) : [];
  const refuse = (fault: Refused): void => {
    if (!leavesOut) throw new InputError(fault);
    notes.push(`Left out: ${fault.file}, ${fault.what}.`);
  };
  const taken =
    asked.runs === undefined
      ? fromFolder(asked.captures ?? '', unit, io)
      : fromRecords(asked.runs, unit, asked, refuse);
  const prepared = witnessedPreparations({ findings: false });
  try {
    const runs = taken.map(({ tag, run, sha256, capture, stop, unit: own }): GoodRun => {
      const { expectation, library } = prepared.of(asWitnessed(unit, capture));
      const judgement = judge({
        unit: asWitnessed(own, capture),
        ...{ capture, expectation: expectation(), library, stop },
      });
      if (!takesFailed) refuseFailed(run, tag, judgement);
      if (isPartly(judgement)) notes.push(`${tag} (${run}) was not tested in full: ${judgement.sentence}`);
      const { nominal, plusMinus } = own.unit.temperatureC;
      const told = isAmbientTold({ plusMinus });
      const temperatureC = { from: nominal - plusMinus, to: nominal + plusMinus, told };
      return { unit: tag, run, sha256, measured: judgement.measured, temperatureC };
    });
    return { unit, runs, notes };
  } finally {
    prepared.close();
  }
}

interface Refused {
  file: string;
  what: string;
  mend: string;
}

const refused = (run: string, tag: string, what: string, mend: string): Refused => {
  return { file: `run ${run}`, what: `${oneLine(tag)} ${what}`, mend };
};

function refuseFailed(run: string, tag: string, { verdict, sentence }: Judgement): void {
  if (verdict === 'fail')
    throw new InputError(
      refused(run, tag, `fails: ${withoutStop(sentence)}`, 'leave it out, a good unit passes'),
    );
}

/** What is only other than usual is what learning is for. */
const isPartly = ({ verdict, checks }: Judgement): boolean =>
  verdict === 'cannot-tell' &&
  checks.some(({ required, outcome, kind }) => required && outcome === 'not-tested' && kind.of !== 'motor');

function fromRecords(
  list: string,
  unit: ResolvedUnit,
  asked: AsRun,
  refuse: (fault: Refused) => void,
): Taken[] {
  const ids = list.split(',').map((id) => id.trim());
  const twice = ids.find((id, i) => ids.indexOf(id) !== i);
  if (twice !== undefined)
    throw new InputError({ file: '--runs', what: `run ${twice} stands twice`, mend: 'name each run once' });
  if (ids.includes(''))
    throw new InputError({
      file: '--runs',
      what: 'a run is empty',
      mend: 'write ids with a comma between two',
    });
  const taken = withStore((store) => {
    const records = ids.map((id) => knownRun(store, id));
    const [first] = records;
    return records.flatMap((record): Taken[] => {
      const one = mixedFault(record, unit, first) ?? takenFrom(store, record, unit, asked);
      if (!('what' in one)) return [one];
      refuse(one);
      return [];
    });
  });
  if (taken === undefined) throw noRuns(ids[0] ?? '');
  refuseTypedTwice(
    '--runs',
    taken.map(({ tag }) => tag),
  );
  return taken;
}

/** Of one profile, plan and rig with the others. */
function mixedFault(
  { runId, tag, unit: own, rig }: RunRecord,
  unit: ResolvedUnit,
  first: RunRecord | undefined,
): Refused | undefined {
  if (own.unit.id !== unit.unit.id || own.style.id !== unit.style.id)
    return refused(
      runId,
      tag,
      `was run as ${own.unit.id} (${own.style.id})`,
      `name runs of ${unit.unit.id} alone`,
    );
  if (own.plan.id !== unit.plan.id)
    return refused(runId, tag, `was run by plan ${own.plan.id}`, `name runs by ${unit.plan.id} alone`);
  if (own.rig.id !== unit.rig.id || rig.rigId !== first?.rig.rigId)
    return refused(runId, tag, 'was run on another rig than the others', 'name runs of one rig alone');
  return undefined;
}

function takenFrom(store: Store, record: RunRecord, unit: ResolvedUnit, asked: AsRun): Taken | Refused {
  const { runId, tag, status, doubt, hash, stop, unit: stored } = record;
  const mend = 'leave it out';
  if (doubt !== undefined) return refused(runId, tag, `is ${withoutStop(doubt)}`, mend);
  if (status !== 'finished') return refused(runId, tag, 'did not run to its end', mend);
  const capture = store.readCapture(runId);
  if (capture === undefined || hash === undefined) return refused(runId, tag, 'left no samples', mend);
  const { temperatureC } = asked['ambient-c'] === undefined ? stored.unit : unit.unit;
  // What read it, and how well that was known, is a fact of that day.
  const own = { ...unit, rig: stored.rig, unit: { ...unit.unit, temperatureC } };
  return { tag, run: runId, sha256: hash, capture, stop: stop?.reason, unit: own };
}

function leftAloneIn(folder: string, io: CommandIo): string[] {
  const path = resolve(io.cwd, folder);
  csvIn(path);
  return leftAlone(path);
}

function fromFolder(folder: string, unit: ResolvedUnit, io: CommandIo): Taken[] {
  const path = resolve(io.cwd, folder);
  const names = csvIn(path);
  if (names.length === 0)
    throw new InputError({
      file: displayPath(path),
      what: 'has no captures in it',
      mend: 'put one .csv a run there, its name beginning with the tag of the unit',
    });
  const hashes = hashesOf(path, names);
  refuseTypedTwice(path, names.map(tagOf));
  return names.map((name) => {
    const capture = readCaptureAt(io, join(path, name), captureOptions({}));
    const sha256 = hashes.get(name) ?? '';
    return { tag: tagOf(name), run: name, sha256, capture, stop: undefined, unit };
  });
}

/**
 * SHA-256 of each capture, by its name. No two runs give the same samples to the last digit: such files are one run, and
 * as two of them they would make its unit more certain than it is.
 * @throws InputError for a copy of another one
 */
export function hashesOf(path: string, names: readonly string[]): Map<string, string> {
  const hashes = new Map<string, string>();
  for (const name of names) {
    const sha256 = createHash('sha256')
      .update(readFileSync(join(path, name)))
      .digest('hex');
    const same = [...hashes].find(([, hash]) => hash === sha256)?.[0];
    if (same !== undefined)
      throw new InputError({
        file: displayPath(join(path, name)),
        what: `is a copy of ${same}, and both are one run`,
        mend: 'leave one of them out',
      });
    hashes.set(name, sha256);
  }
  return hashes;
}

/**
 * One tag typed in two ways: as two units it would make the spread between units look smaller than it is.
 * @throws InputError
 */
export function refuseTypedTwice(path: string, tags: readonly string[]): void {
  const [twice] = typedAlike(tags);
  if (twice === undefined) return;
  throw new InputError({
    file: displayPath(path),
    what: `${oneLine(twice[0])} and ${oneLine(twice[1])} read like one tag, and would count as two units`,
    mend: 'name all captures of a unit by one tag; give other units other tags',
  });
}

/** Names of the captures in a folder, sorted; folders inside it are left alone. @throws InputError */
export function csvIn(path: string): string[] {
  try {
    return entriesOf(path).flatMap((entry) => (isCapture(entry) ? [entry.name] : []));
  } catch (error) {
    throw new InputError({ file: displayPath(path), ...readFault(error) }, { cause: error });
  }
}

/** Of each folder inside that holds captures, that they were not read: they may have been meant. */
export const leftAlone = (path: string): string[] =>
  entriesOf(path).flatMap((entry) => {
    if (!entry.isDirectory()) return [];
    const { length } = entriesOf(join(path, entry.name)).filter(isCapture);
    if (length === 0) return [];
    const what = `${length} ${length === 1 ? 'capture' : 'captures'} in the folder ${oneLine(entry.name)} inside it`;
    return [`Not read: ${what}. Put all captures of one batch into one folder.`];
  });

const entriesOf = (path: string): Dirent[] =>
  readdirSync(path, { withFileTypes: true }).sort((one, other) => (one.name < other.name ? -1 : 1));
const isCapture = (entry: Dirent): boolean =>
  extname(entry.name).toLowerCase() === '.csv' && !entry.isDirectory();

/** `V-0107_2.csv` is a start of V-0107. */
export const tagOf = (name: string): string => basename(name, extname(name)).split('_')[0] ?? name;
