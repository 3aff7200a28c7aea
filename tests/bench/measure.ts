// Speed of measuring: the parameter fit of a 10 s capture of six channels at 5 kHz, beside sorting its samples as a
// baseline of the same machine.

import type { Capture } from '../../host/capture/index.js';
import { nominalInput, seededRandom, simulatePlan } from '../../host/circuit/index.js';
import { fitMotor, measure } from '../../host/measure/index.js';
import { loadUnit } from '../../host/profile/index.js';
import { readThrough } from '../measure/model-motors.js';

const ROUNDS = 7;

/** Processor time since the process began, ms. */
function processorMs(): number {
  const { user, system } = process.cpuUsage();
  return (user + system) / 1000;
}

function best(act: () => void): number {
  let least = Number.POSITIVE_INFINITY;
  for (let round = 0; round < ROUNDS; round++) {
    const start = processorMs();
    act();
    least = Math.min(least, processorMs() - start);
  }
  return least;
}

/** Two throws each way in ten seconds. */
function tenSeconds(): Capture {
  const unit = loadUnit('seat-slide-relays');
  const throws = (['forward', 'reverse', 'forward', 'reverse'] as const).flatMap((position) => [
    { position, durationS: 1.4, feed: 'full' as const },
    { position: 'rest' as const, durationS: 0.95, feed: 'full' as const },
  ]);
  const steps = [{ position: 'rest' as const, durationS: 0.4, feed: 'full' as const }, ...throws];
  const input = nominalInput(unit);
  // Ripple of few segments: the fit takes it into its model.
  const motor = { ...input.motor, ripple: { segments: 8, amplitude: 0.03 } };
  return readThrough(simulatePlan({ ...input, motor }, { steps }), unit.rig, seededRandom(1));
}

export interface MeasureBench {
  fitMs: number;
  measureMs: number;
}

export async function benchMeasure(print: (line: string) => void): Promise<MeasureBench> {
  const capture = tenSeconds();
  const { rig } = loadUnit('seat-slide-relays');
  const columns = Object.values(capture.channels);
  const sortMs = best(() => {
    for (const column of columns) column.slice().sort();
  });
  const measureMs = best(() => measure(capture, { rig }));
  const fitMs = best(() => fitMotor(capture, { rig, motor: { brushDropV: 0.3 } }));
  const ratio = (milliseconds: number): string => `${(milliseconds / sortMs).toFixed(1)} times sorting them`;
  print(
    `${capture.timeS.length} samples of ${columns.length} channels, ${(capture.timeS.at(-1)! - capture.timeS[0]!).toFixed(1)} s, processor time, best of ${ROUNDS}:`,
  );
  print(`  sorting every channel ${sortMs.toFixed(0)} ms`);
  print(`  all quantities ${measureMs.toFixed(0)} ms (asked: 100), ${ratio(measureMs)}`);
  print(`  parameter fit ${fitMs.toFixed(0)} ms (asked: 300), ${ratio(fitMs)}`);
  return { fitMs, measureMs };
}
