// Judges the capture named as a unit of the profile named, once, in a process of its own with nothing known yet; prints
// JSON. Milliseconds on the clock and of processor, all threads of the process together.

import { prepareProfile } from '../../host/bench/preparing/index.js';
import { readCaptureFile } from '../../host/capture/index.js';
import { judge } from '../../host/judge/index.js';
import { withoutRamp } from '../../host/profile/index.js';
import { plannedUnit } from '../profile/planned-unit.js';

export interface ColdUnit {
  /** From the start of the process to the modules loaded and the capture read. */
  start: Spent;
  expectation: Spent;
  /** With findings, hypotheses simulated on the way where the unit does not pass. */
  verdict: Spent;
  word: string;
}

interface Spent {
  wallMs: number;
  cpuMs: number;
}

const now = (): Spent => {
  const { user, system } = process.cpuUsage();
  return { wallMs: performance.now(), cpuMs: (user + system) / 1000 };
};
const between = (a: Spent, b: Spent): Spent => ({ wallMs: b.wallMs - a.wallMs, cpuMs: b.cpuMs - a.cpuMs });

const [id, path] = process.argv.slice(2);
const loaded = plannedUnit(id!);
const unit = { ...loaded, plan: withoutRamp(loaded.plan) };
const capture = readCaptureFile(path!);
const start = now();
const preparation = prepareProfile(unit, { findings: true });
const expected = preparation.expectation();
const prepared = now();
const { verdict } = judge({ unit, capture, expectation: expected, library: preparation.library });
const end = now();
preparation.close();
const result: ColdUnit = {
  start: between({ wallMs: 0, cpuMs: 0 }, start),
  expectation: between(start, prepared),
  verdict: between(prepared, end),
  word: verdict,
};
process.stdout.write(JSON.stringify(result));
