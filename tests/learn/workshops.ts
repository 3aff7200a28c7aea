// Workshops that learn from drawn units, and what their limits then do to further good ones of the same population.

import { seededRandom } from '../../host/circuit/index.js';
import { columnsOf, type GoodRun, learn, learnedLimits, type Stated } from '../../host/learn/index.js';
import type { Learned } from '../../host/profile/index.js';
import { type Population, population, runOf, startsOf } from './population.js';

const HEAD = {
  ...{
    title: 'Drawn units',
    profile: 'drawn',
    circuit: 'drawn',
    motor: 'drawn',
    plan: 'drawn',
    rig: 'drawn',
  },
  ...{ learnedOn: '2026-11-29', tool: '0' },
};

/** Whether a good unit would be rejected: outside one limit or more. */
export function isRejected(learned: Learned, { measured }: GoodRun): boolean {
  return Object.values(measured).some(({ what, of, value }) => {
    const limits = learnedLimits(learned, measured, what, of);
    if (limits === undefined) return false;
    const { lower = Number.NEGATIVE_INFINITY, upper = Number.POSITIVE_INFINITY } = limits;
    return value < lower || value > upper;
  });
}

export interface Workshop {
  units: number;
  starts: number;
  /** Half width of the running current's limits, as a part of the centre. */
  width: number;
  /** Part of further good units that the limits reject, by counting. */
  rejected: number;
}

interface Drawn {
  units: number;
  /** Of each unit. */
  starts: number;
  stated?: Stated;
  /** Counted on. */
  further: number;
}

/** One workshop of its own population. */
export function workshop(seed: number, { units, starts, stated, further }: Drawn): Workshop {
  const random = seededRandom(seed);
  const truth: Population = population(random);
  const runs = Array.from({ length: units }, (_, i) => startsOf(truth, `V-${i}`, random, { starts })).flat();
  const lesson = learn(HEAD, runs, stated);
  if (!('learned' in lesson)) throw new Error(`nothing learned of ${columnsOf(runs).length} quantities`);
  const { learned } = lesson;
  let away = 0;
  for (let n = 0; n < further; n++) if (isRejected(learned, runOf(truth, `F-${n}`, random))) away++;
  const [running] = Object.values(learned.quantities).filter(({ words }) =>
    words.endsWith('running current'),
  );
  const { centre = 1, upper = Number.NaN, lower = Number.NaN } = running ?? {};
  return { units, starts, width: (upper - lower) / 2 / centre, rejected: away / further };
}

export interface Share {
  /** Part of the workshops whose limits reject no more good units than stated. */
  held: number;
  /** Over all workshops. */
  meanRejected: number;
  medianWidth: number;
}

export function shareOf(workshops: readonly Workshop[], coverage: number): Share {
  const widths = workshops.map(({ width }) => width).sort((a, b) => a - b);
  return {
    held: workshops.filter(({ rejected }) => rejected <= 1 - coverage).length / workshops.length,
    meanRejected: workshops.reduce((sum, { rejected }) => sum + rejected, 0) / workshops.length,
    medianWidth: widths[Math.floor(widths.length / 2)] ?? Number.NaN,
  };
}

const CASES: readonly { units: number; starts: number }[] = [
  { units: 3, starts: 1 },
  { units: 5, starts: 1 },
  { units: 10, starts: 1 },
  { units: 30, starts: 1 },
  { units: 3, starts: 3 },
  { units: 5, starts: 3 },
  { units: 10, starts: 3 },
];
const STATED: readonly Stated[] = [
  { coverage: 0.95, confidence: 0.9 },
  { coverage: 0.99, confidence: 0.95 },
];

const percent = (part: number): string => `${(100 * part).toFixed(1)} %`.padStart(8);

/** One line a case; workshop n of each has seed + n. */
export function* workshopTable(asked: {
  seed: number;
  workshops: number;
  further: number;
}): Generator<string> {
  yield 'units  starts  stated         held in   rejected in the mean   running current, limits ±';
  for (const stated of STATED) {
    for (const { units, starts } of CASES) {
      const drawn = Array.from({ length: asked.workshops }, (_, n) =>
        workshop(asked.seed + n, { units, starts, stated, further: asked.further }),
      );
      const { held, meanRejected, medianWidth } = shareOf(drawn, stated.coverage);
      const says = `${100 * stated.coverage} % at ${100 * stated.confidence} %`.padEnd(12);
      yield `${String(units).padStart(5)}  ${String(starts).padStart(6)}  ${says}  ${percent(held)}   ${percent(meanRejected)}               ${percent(medianWidth)}`;
    }
  }
}
