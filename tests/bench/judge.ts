// Speed of judging, processor time: a cold profile (what a good unit does, what every fault would read), and from the
// last sample to the verdict with findings. The baseline is the simulation of the profile's nominal run. Then, on the
// clock too, one faulty unit of every profile, each in a process that knows nothing yet.

import { execFileSync } from 'node:child_process';
import { mkdtempSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';
import { itemAt } from '../../host/arrays/index.js';
import { writeCaptureCsv } from '../../host/capture/index.js';
import { faultsOfUnit, nominalInput, simulatePlan } from '../../host/circuit/index.js';
import { causeLibrary, expectation, judge } from '../../host/judge/index.js';
import { listProfiles, withoutRamp } from '../../host/profile/index.js';
import { withFaults } from '../circuit/with-faults.js';
import { benchRun } from '../judge/bench.js';
import { plannedUnit } from '../profile/planned-unit.js';
import type { ColdUnit } from './cold-unit.js';

const PROFILES = ['entry-step-relays', 'window-lift-switch'];
const FAULTS: Record<string, string> = {
  'entry-step-relays': 'k2-coil-open',
  'window-lift-switch': 'jumper-a2-b1-missing',
};
const BASELINES = 20;
const SEED = 31;

function cpuMs<T>(work: () => T): { value: T; ms: number } {
  const before = process.cpuUsage();
  const value = work();
  const { user, system } = process.cpuUsage(before);
  return { value, ms: (user + system) / 1000 };
}

export async function benchJudge(print: (line: string) => void): Promise<void> {
  for (const id of PROFILES) {
    const unit = plannedUnit(id);
    const cold = cpuMs(() => expectation(unit));
    const expected = cold.value;
    const library = cpuMs(() => causeLibrary(unit));
    const base = cpuMs(() => {
      for (let n = 0; n < BASELINES; n++) simulatePlan(nominalInput(unit), unit.plan);
    });
    const runMs = base.ms / BASELINES;
    print(
      `${id}: expected behaviour ${cold.ms.toFixed(0)} ms (${(cold.ms / runMs).toFixed(0)} nominal runs of ${runMs.toFixed(0)} ms), ${library.value.entries.length} hypotheses ${library.ms.toFixed(0)} ms`,
    );
    for (const fault of [undefined, FAULTS[id]!]) {
      const input = withFaults(nominalInput(unit), ...(fault === undefined ? [] : [fault]));
      const { capture, stop } = benchRun(unit, input, { seed: SEED });
      const verdict = () =>
        judge({ unit, capture, expectation: expected, stop, library: () => library.value });
      const first = cpuMs(verdict);
      const second = cpuMs(verdict);
      print(
        `${id}, ${fault ?? 'good'}: last sample to verdict (${first.value.verdict}) ${first.ms.toFixed(0)} ms, again ${second.ms.toFixed(0)} ms`,
      );
    }
  }
  const folder = mkdtempSync(join(tmpdir(), 'throwbench-bench-'));
  try {
    print(
      'one faulty unit in a process of its own, on the clock and in brackets processor time of all threads:',
    );
    for (const { id } of listProfiles('unit')) print(`  ${id}: ${coldUnit(id, folder)}`);
  } finally {
    rmSync(folder, { recursive: true, force: true });
  }
}

/** With the first fault of its style. */
function coldUnit(id: string, folder: string): string {
  const loaded = plannedUnit(id);
  const unit = { ...loaded, plan: withoutRamp(loaded.plan) };
  const fault = itemAt(faultsOfUnit(unit), 0);
  const path = join(folder, `${id}.csv`);
  const { capture } = benchRun(unit, { ...nominalInput(unit), faults: [fault] }, { seed: SEED });
  writeFileSync(path, writeCaptureCsv(capture));
  const script = fileURLToPath(new URL('./cold-unit.ts', import.meta.url));
  const out = execFileSync(process.execPath, ['--import', 'tsx', script, id, path], { encoding: 'utf8' });
  const { start, expectation, verdict, word }: ColdUnit = JSON.parse(out);
  const told = (wallMs: number, cpuMs: number): string => `${wallMs.toFixed(0)} ms (${cpuMs.toFixed(0)})`;
  const sum = told(expectation.wallMs + verdict.wallMs, expectation.cpuMs + verdict.cpuMs);
  return (
    `${sum} from capture to verdict (${word}, ${fault.id}; asked: 3000 ms): expected behaviour ` +
    `${told(expectation.wallMs, expectation.cpuMs)}, verdict with findings ${told(verdict.wallMs, verdict.cpuMs)}; ` +
    `start and capture ${told(start.wallMs, start.cpuMs)}`
  );
}
