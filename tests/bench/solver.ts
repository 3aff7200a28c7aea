// Speed of the circuit solver against the SPICE engine on the same circuit in the same run, and how its cost grows.

import { availableParallelism } from 'node:os';
import { bandInThreads } from '../../host/bench/threads/index.js';
import { Draws, drawInput, type ScheduleEntry, seededRandom, simulate } from '../../host/circuit/index.js';
import { loadUnit, type ResolvedUnit } from '../../host/profile/index.js';
import { RELAY_CYCLE } from '../references/circuit-spice/cases.js';
import { CHANNELS, deckOf, onGrid, peakOf, rmsDifference } from '../references/circuit-spice/compare.js';
import { runSpice, startSpice } from '../references/circuit-spice/engine.js';

/** RMS over peak that both solvers have to reach on every channel. */
const ACCURACY = 1e-3;
const GRID_HZ = 5000;
/** SPICE settings from the fastest on: longest step s, relative tolerance. The last is the reference. */
const SPICE_SETTINGS: readonly (readonly [number, number])[] = [
  [5e-3, 1e-3],
  [2e-3, 1e-3],
  [1e-3, 1e-3],
  [1e-3, 1e-4],
  [5e-4, 1e-4],
  [2e-4, 1e-4],
  [1e-4, 1e-5],
  [5e-5, 1e-6],
  [2e-5, 1e-6],
];

/** Tolerances here from the loosest on; the last is the default. */
const OUR_TOLERANCES = [5e-3, 2e-3, 1e-3, 5e-4, 2e-4, 1e-4, 5e-5];

export interface SolverBench {
  milliseconds: number;
  timesSpice: number;
  timesRealTime: number;
  worstRmsOfPeak: number;
}

type Columns = Record<string, Float64Array>;
const probes = Object.fromEntries(Object.entries(CHANNELS).map(([name, { probe }]) => [name, probe]));

/** Processor time since the process began, ms. It is what a busy machine leaves comparable. */
function processorMs(): number {
  const { user, system } = process.cpuUsage();
  return (user + system) / 1000;
}

/** Least processor time of `rounds` runs of `act`. */
function best(rounds: number, act: () => void): number {
  let least = Number.POSITIVE_INFINITY;
  for (let round = 0; round < rounds; round++) {
    const start = processorMs();
    act();
    least = Math.min(least, processorMs() - start);
  }
  return least;
}

/** Channels half a sample off the round instants at which contacts move. */
function ours(relativeTolerance: number): Columns {
  const { netlist, schedule, untilS } = RELAY_CYCLE;
  const options = { relativeTolerance };
  const { values } = simulate({ netlist, schedule, untilS, sampleRateHz: 2 * GRID_HZ, probes, options });
  return Object.fromEntries(
    Object.entries(values).map(([name, column]) => [name, column.filter((_, k) => k % 2 === 1)]),
  );
}

async function spice(
  setting: readonly [number, number],
): Promise<{ columns: Columns; milliseconds: number }> {
  const deck = deckOf(RELAY_CYCLE, ...setting);
  const gridS = Float64Array.from(
    { length: Math.floor(RELAY_CYCLE.untilS * GRID_HZ) },
    (_, k) => (k + 0.5) / GRID_HZ,
  );
  let milliseconds = Number.POSITIVE_INFINITY;
  for (let round = 1; ; round++) {
    const start = processorMs();
    const result = await runSpice(deck);
    milliseconds = Math.min(milliseconds, processorMs() - start);
    if (round < 3) continue;
    const columns = Object.fromEntries(
      Object.entries(CHANNELS).map(([name, c]) => [name, onGrid(result, c.spice, gridS)]),
    );
    return { columns, milliseconds };
  }
}

function worst(columns: Columns, reference: Columns): number {
  return Math.max(
    ...Object.keys(reference).map(
      (name) => rmsDifference(columns[name]!, reference[name]!) / peakOf(reference[name]!),
    ),
  );
}

/** Milliseconds for `cycles` throws of the cycle one after another, and the slope of cost over length. */
function growth(counts: readonly number[], cost: (count: number) => void): { line: string; slope: number } {
  const points = counts.map((count) => [count, best(5, () => cost(count))] as const);
  const logs = points.map(([n, ms]) => [Math.log(n), Math.log(ms)] as const);
  const meanX = logs.reduce((s, [x]) => s + x, 0) / logs.length;
  const meanY = logs.reduce((s, [, y]) => s + y, 0) / logs.length;
  const slope =
    logs.reduce((s, [x, y]) => s + (x - meanX) * (y - meanY), 0) /
    logs.reduce((s, [x]) => s + (x - meanX) ** 2, 0);
  return { line: points.map(([n, ms]) => `${n}: ${ms.toFixed(1)} ms`).join(', '), slope };
}

function longRun(cycles: number): void {
  const { netlist, schedule, untilS } = RELAY_CYCLE;
  const repeated = Array.from({ length: cycles }, (_, k) =>
    schedule.map((entry): ScheduleEntry => ({ ...entry, atS: entry.atS + k * untilS })),
  ).flat();
  simulate({ netlist, schedule: repeated, untilS: untilS * cycles, sampleRateHz: GRID_HZ, probes });
}

const BAND_DRAWS = 200;
/** The cycle as a plan: forward, rest, reverse, rest after a short rest, 2.3 s with the lead-in. */
function bandUnit(): ResolvedUnit {
  const unit = loadUnit('entry-step-relays');
  const steps = [
    ['forward', 0.8],
    ['rest', 0.3],
    ['reverse', 0.8],
    ['rest', 0.2],
  ] as const;
  const plan = steps.map(([position, durationS]) => ({ position, durationS, feed: 'full' as const }));
  return { ...unit, plan: { ...unit.plan, steps: plan } };
}

function benchBand(print: (line: string) => void): void {
  const unit = bandUnit();
  const seed = 20_200_901;
  new Draws(unit, { draws: 10, seed }).finish();
  const ms = best(2, () => void new Draws(unit, { draws: BAND_DRAWS, seed }).finish());
  const inputs = seededRandom(seed);
  const drawMs = best(1, () => {
    for (let n = 0; n < BAND_DRAWS; n++) drawInput(unit, inputs);
  });
  print(
    `  band of ${BAND_DRAWS} draws of a 2.3 s cycle, entry-step-relays, six channels: ${ms.toFixed(0)} ms on one core (${drawMs.toFixed(0)} ms of it draw the inputs; asked: 2000)`,
  );
  const many = 5 * BAND_DRAWS;
  const clockMs = (threads: number): number => {
    const startedAt = performance.now();
    bandInThreads(unit, { draws: many, seed }, threads);
    return performance.now() - startedAt;
  };
  const oneMs = clockMs(1);
  const threads = availableParallelism();
  print(
    `  ${many} draws on the clock: ${oneMs.toFixed(0)} ms in one thread, ${clockMs(threads).toFixed(0)} ms in ${threads}, their start included`,
  );
}

/** Times the 2.3 s relay-pair cycle (forward, rest, reverse, rest), five channels at 5 kHz, set-up included. */
export async function benchSolver(print: (line: string) => void): Promise<SolverBench> {
  await startSpice();
  const runs: { setting: readonly [number, number]; columns: Columns; milliseconds: number }[] = [];
  for (const setting of SPICE_SETTINGS) {
    try {
      runs.push({ setting, ...(await spice(setting)) });
    } catch {
      print(`  SPICE does not converge at longest step ${setting[0]} s, reltol ${setting[1]}`);
    }
  }
  const reference = runs.at(-1)!;
  const equal = runs.find(({ columns }) => worst(columns, reference.columns) < ACCURACY) ?? reference;
  const worstRmsOfPeak = worst(ours(OUR_TOLERANCES.at(-1)!), reference.columns);
  const relativeTolerance =
    OUR_TOLERANCES.find((each) => worst(ours(each), reference.columns) < ACCURACY) ?? OUR_TOLERANCES.at(-1)!;
  const { netlist, schedule, untilS } = RELAY_CYCLE;
  const milliseconds = best(60, () => simulate({ netlist, schedule, untilS, sampleRateHz: GRID_HZ, probes }));
  const options = { relativeTolerance };
  const equalMs = best(60, () =>
    simulate({ netlist, schedule, untilS, sampleRateHz: GRID_HZ, probes, options }),
  );
  const result = {
    milliseconds,
    timesSpice: equal.milliseconds / equalMs,
    timesRealTime: (untilS * 1000) / milliseconds,
    worstRmsOfPeak,
  };

  print(
    `Circuit solver, relay-pair cycle of ${untilS} s, five channels at ${GRID_HZ} Hz, processor time, best of 60:`,
  );
  print(
    `  here, as shipped, ${milliseconds.toFixed(1)} ms, worst channel ${(100 * worstRmsOfPeak).toFixed(4)} % RMS of peak from SPICE at its finest`,
  );
  print(
    `  here, at 0.1 %, ${equalMs.toFixed(1)} ms with tolerance ${relativeTolerance}, worst ${(100 * worst(ours(relativeTolerance), reference.columns)).toFixed(4)} %`,
  );
  const error = worst(equal.columns, reference.columns);
  print(
    `  SPICE ${equal.milliseconds.toFixed(0)} ms at longest step ${equal.setting[0]} s, reltol ${equal.setting[1]}, worst ${(100 * error).toFixed(4)} % (fastest setting below 0.1 %, best of 3)`,
  );
  print(
    `  ${result.timesSpice.toFixed(0)} times faster than SPICE at 0.1 % (asked: 50), ${(equal.milliseconds / milliseconds).toFixed(0)} times as shipped, ${result.timesRealTime.toFixed(0)} times real time (asked: 150)`,
  );
  const time = growth([1, 2, 4, 8], longRun);
  print(`  cost over cycles in one run: ${time.line}; log-log slope ${time.slope.toFixed(2)} (1 = linear)`);
  const draws = growth([5, 10, 20, 40], (count) => {
    for (let k = 0; k < count; k++) simulate({ netlist, schedule, untilS, sampleRateHz: GRID_HZ, probes });
  });
  print(`  cost over separate runs: ${draws.line}; log-log slope ${draws.slope.toFixed(2)} (1 = linear)`);
  benchBand(print);
  return result;
}
