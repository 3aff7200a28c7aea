// Speed of judging, processor time: a cold profile (what a good unit does, what every fault would read), and from the
// last sample to the verdict with findings. The baseline is the simulation of the profile's nominal run.

import { nominalInput, simulatePlan } from '../../host/circuit/index.js';
import { expectation, judge, libraryFor } from '../../host/judge/index.js';
import { loadUnit } from '../../host/profile/index.js';
import { benchRun } from '../judge/bench.js';

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
    const unit = loadUnit(id);
    const cold = cpuMs(() => expectation(unit));
    const expected = cold.value;
    const library = cpuMs(() => libraryFor(unit, expected));
    const base = cpuMs(() => {
      for (let n = 0; n < BASELINES; n++) simulatePlan(nominalInput(unit), unit.plan);
    });
    const runMs = base.ms / BASELINES;
    print(
      `${id}: expected behaviour ${cold.ms.toFixed(0)} ms (${(cold.ms / runMs).toFixed(0)} nominal runs of ${runMs.toFixed(0)} ms), ${library.value.entries.length} hypotheses ${library.ms.toFixed(0)} ms`,
    );
    for (const fault of [undefined, FAULTS[id]!]) {
      const input = { ...nominalInput(unit), ...(fault === undefined ? {} : { faults: [fault] }) };
      const { capture, stop } = benchRun(unit, input, { seed: SEED });
      const verdict = () => judge({ unit, capture, expectation: expected, stop });
      const first = cpuMs(verdict);
      const second = cpuMs(verdict);
      print(
        `${id}, ${fault ?? 'good'}: last sample to verdict (${first.value.verdict}) ${first.ms.toFixed(0)} ms, again ${second.ms.toFixed(0)} ms`,
      );
    }
  }
}
