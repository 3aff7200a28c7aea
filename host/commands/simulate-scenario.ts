// `simulate --scenario`: reads scenario files, runs them one after the other and writes each as CSV.

import { existsSync, mkdirSync, statSync, writeFileSync } from 'node:fs';
import { basename, extname, join, resolve } from 'node:path';
import { writeCaptureCsv } from '../capture/index.js';
import { CircuitError, danglingNodes, runScenario, type Scenario, scenarioSchema } from '../circuit/index.js';
import { checkShape, YamlFile } from '../profile/index.js';
import { type CommandIo, EXIT, jsonText, UsageError } from './command.js';

/** Parts of the tolerance that the solver was asked for to which numbers are written: a digit beyond it. */
const WRITTEN_PART = 0.1;

interface ScenarioSummary {
  title: string;
  samples: number;
  durationS: number;
  sampleRateHz: number;
  columns: string[];
}

/**
 * One file to `csv`, or each of several into the folder `csv`. All files are read before the first is run; one that cannot
 * be solved is told, and the others are run all the same.
 * @throws InputError for a faulty file, UsageError where two would be written to one place.
 */
export function simulateScenarios(
  files: readonly string[],
  csv: string,
  json: boolean,
  io: Pick<CommandIo, 'cwd' | 'stdout' | 'stderr'>,
): number {
  const isOne = files.length === 1;
  const jobs = outputs(files, csv, io.cwd).map(({ file, place }) => {
    const source = YamlFile.read(resolve(io.cwd, file));
    const scenario = checkShape(scenarioSchema, source);
    return { file, place, scenario, source };
  });
  if (!isOne) mkdirSync(resolve(io.cwd, csv), { recursive: true });
  const told: object[] = [];
  let failed = 0;
  for (const { file, place, scenario, source } of jobs) {
    try {
      const { bytes, summary } = simulated(scenario);
      writeFileSync(resolve(io.cwd, place), bytes);
      for (const { path, what, mend } of danglingNodes(scenario.elements))
        io.stderr(`throwbench simulate: ${source.fault(path, what, mend).message}\n`);
      told.push(isOne ? summary : { file, csv: place, ...summary });
      if (!json) io.stdout(`wrote ${summary.samples} samples to ${place}\n`);
    } catch (error) {
      if (!(error instanceof CircuitError)) throw error;
      io.stderr(`throwbench simulate: ${isOne ? '' : `${file}: `}${error.problem.sentence}\n`);
      failed += 1;
    }
  }
  if (json && !(isOne && failed > 0)) io.stdout(jsonText(isOne ? told[0] : told));
  return failed > 0 ? EXIT.cannotTell : EXIT.pass;
}

/** Where each file is written: `csv` itself for one, unless that is a folder; else named after the file in that folder. */
function outputs(files: readonly string[], csv: string, cwd: string): { file: string; place: string }[] {
  const isFolder = existsSync(resolve(cwd, csv)) && statSync(resolve(cwd, csv)).isDirectory();
  const [only, more] = files;
  if (only !== undefined && more === undefined && !isFolder) return [{ file: only, place: csv }];
  if (!isFolder && existsSync(resolve(cwd, csv)))
    throw new UsageError(`--csv ${csv} is a file: several scenarios need a folder to be written to`);
  const written = new Map<string, string>();
  for (const file of files) {
    const place = join(csv, `${basename(file, extname(file))}.csv`);
    if (written.has(place)) throw new UsageError(`two scenarios would be written to ${place}: rename one`);
    written.set(place, file);
  }
  return [...written].map(([place, file]) => ({ file, place }));
}

function simulated(scenario: Scenario): { bytes: Uint8Array; summary: ScenarioSummary } {
  const { title, durationS, sampleRateHz, relativeTolerance } = scenario;
  const { capture, more: free, speedRadS } = runScenario(scenario);
  const more = { ...free, ...(speedRadS === undefined ? {} : { speed_rad_s: speedRadS }) };
  const bytes = writeCaptureCsv(capture, {
    precision: { resolution: WRITTEN_PART * relativeTolerance },
    more,
  });
  const columns = bytes.toString('utf8', 0, bytes.indexOf('\r\n')).split(',');
  return { bytes, summary: { title, samples: capture.timeS.length, durationS, sampleRateHz, columns } };
}
