// Workshops that learn from drawn units, and what their limits then do to further good ones of the same population.

import { seededRandom } from '../../host/circuit/index.js';
import {
  columnsOf,
  type GoodRun,
  learn,
  learnedDistance,
  learnedLimits,
  type Stated,
} from '../../host/learn/index.js';
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

/** Whether a good unit would be rejected: outside one limit or more, or beyond that of all readings. */
export function isRejected(learned: Learned, run: GoodRun): boolean {
  return isOutsideOne(learned, run) || isApart(learned, run);
}

function isApart(learned: Learned, { measured }: GoodRun): boolean {
  const found = learnedDistance(learned, measured);
  return found !== undefined && found.distance > found.upper;
}

function isOutsideOne(learned: Learned, { measured }: GoodRun): boolean {
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

/** Weak and strong, as parts of resistance, flux, friction and inertia; strengths are choices of this table. */
const ILLS: readonly { words: string; times: readonly [number, number, number, number] }[] = [
  { words: 'magnets 8 % weaker', times: [1, 0.92, 1, 1] },
  { words: 'magnets 20 % weaker', times: [1, 0.8, 1, 1] },
  { words: 'brushes, resistance 15 % up', times: [1.15, 1, 1, 1] },
  { words: 'brushes, resistance 50 % up', times: [1.5, 1, 1, 1] },
  { words: 'friction 30 % up', times: [1, 1, 1.3, 1] },
  { words: 'shorted turns, R and flux 10 % down', times: [0.9, 0.9, 1, 1] },
];

const WAYS = ['fixed 10 %', 'fixed 20 %', 'single only', 'joint', 'as judged'] as const;
type Way = (typeof WAYS)[number];

/** Which ways of holding a unit against the good ones find something. */
function foundBy(learned: Learned, singleOnly: Learned, run: GoodRun): Way[] {
  const isOff = (part: number): boolean =>
    Object.entries(learned.quantities).some(
      ([key, { centre }]) => Math.abs((run.measured[key]?.value ?? centre) / centre - 1) > part,
    );
  const joint = isApart(learned, run);
  const found: Record<Way, boolean> = {
    ...{ 'fixed 10 %': isOff(0.1), 'fixed 20 %': isOff(0.2), joint },
    ...{ 'single only': isOutsideOne(singleOnly, run), 'as judged': joint || isOutsideOne(learned, run) },
  };
  return WAYS.filter((way) => found[way]);
}

/**
 * Caught of drawn bad units, and rejected of drawn good ones, by each way; workshop n has seed + n. `single only`: what
 * single limits would find that had all of the coverage.
 */
export function* caughtTable(asked: {
  seed: number;
  workshops: number;
  units: readonly number[];
}): Generator<string> {
  yield `units  ${'what is wrong'.padEnd(36)}${WAYS.map((way) => way.padStart(12)).join('')}`;
  const further = 20;
  for (const units of asked.units) {
    const taught = Array.from({ length: asked.workshops }, (_, n) => {
      const random = seededRandom(asked.seed + n);
      const truth = population(random);
      const runs = Array.from({ length: units }, (__, i) => runOf(truth, `V-${i}`, random));
      const lesson = learn(HEAD, runs);
      if (!('learned' in lesson)) return [];
      // Twice what may be missed: the half of it that single limits get is then all of what is stated.
      const { coverage, confidence, together } = lesson.learned;
      const all = { coverage: 1 - 2 * (1 - coverage), confidence: 1 - 2 * (1 - confidence) };
      const alone = together ? learn(HEAD, runs, all) : lesson;
      return 'learned' in alone
        ? [{ learned: lesson.learned, singleOnly: alone.learned, truth, random }]
        : [];
    }).flat();
    for (const { words, times } of [{ words: 'nothing', times: [1, 1, 1, 1] as const }, ...ILLS]) {
      const found = taught.flatMap(({ learned, singleOnly, truth, random }) =>
        Array.from({ length: further }, (_, k) =>
          foundBy(learned, singleOnly, runOf(truth, `F-${k}`, random, { times })),
        ),
      );
      const parts = WAYS.map((way) =>
        percent(found.filter((ways) => ways.includes(way)).length / found.length),
      );
      yield `${String(units).padStart(5)}  ${words.padEnd(36)}${parts.map((part) => part.padStart(12)).join('')}`;
    }
  }
}

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
