// A unit with a seeded fault: run without the board between, judged, and then probed by a hand whose meter has its noise.
// What is really there is drawn from tolerances that the engine's nominal circuits lack.

import type { SeededRandom } from '../../host/circuit/index.js';
import { faultById, faultsOfUnit } from '../../host/circuit/index.js';
import { CircuitsInPieces, type DiagnosisLibrary, weighed } from '../../host/diagnose/index.js';
import { type Expectation, type Judgement, judge } from '../../host/judge/index.js';
import {
  BenchOf,
  causesOfProfile,
  causesOfRun,
  conclude,
  displayed,
  meterUncertainty,
  type Probe,
  type Probing,
  type Reading,
  type Shown,
  type Start,
  startProbing,
  WAYS,
  withReading,
} from '../../host/probe/index.js';
import type { ResolvedUnit, VirtualCase } from '../../host/profile/index.js';
import { chance, trueUnit } from '../../host/virtual-rig/index.js';
import { shortFinder } from '../accuracy/bench-run.js';
import { runDirectly } from '../accuracy/direct-run.js';

export interface SeededUnit {
  unit: ResolvedUnit;
  truth: string;
  virtualCase: VirtualCase;
  seed: number;
}

/** One fault of the unit's style, values and supply drawn. */
export function seededFault(
  unit: ResolvedUnit,
  random: SeededRandom,
  supplies: readonly number[] = [12, 12.6, 13.5],
): SeededUnit {
  const faults = faultsOfUnit(unit).map(({ id }) => id);
  const truth = faults[Math.floor(random.uniform() * faults.length)];
  if (truth === undefined) throw new Error(`${unit.unit.id} has no faults`);
  const seed = Math.floor(random.uniform() * 2 ** 31);
  // Few, so that circuits solved for one unit serve the next.
  const voltageV = supplies[Math.floor(supplies.length * random.uniform())] ?? 12.6;
  const temperatureC = 5 + 30 * random.uniform();
  const virtualCase: VirtualCase = {
    ...{ id: 'seeded', title: 'Seeded fault', kind: 'case', seed, faults: [truth], motorScale: {} },
    ...{ supply: { voltageV }, temperatureC },
  };
  return { unit, truth, virtualCase, seed };
}

export interface Desk {
  expectation: Expectation;
  library: DiagnosisLibrary;
}

/** The run that a bench would have made of it, judged. */
export function judgedRun(
  one: SeededUnit,
  { expectation, library }: Desk,
): { judgement: Judgement; isShort: boolean } {
  const gate = shortFinder(one.unit);
  let isShort = false;
  const run = runDirectly(one, (soFar) => {
    isShort = gate(soFar) !== undefined;
    return isShort;
  });
  return {
    judgement: judge({ unit: one.unit, ...run, expectation, library: () => library }),
    isShort: isShort || run.stop !== undefined,
  };
}

/** What is really on the bench. */
export function trueBench({ unit, truth, virtualCase, seed }: SeededUnit, feed: Start['feed']): Shown {
  const fault = faultById(unit, truth);
  const circuits = new CircuitsInPieces(unit, [fault], (inIt) =>
    trueUnit(unit, { ...virtualCase, faults: inIt.map(({ id }) => id) }, chance(seed)),
  );
  return { cause: weighed(fault), bench: new BenchOf(circuits, feed) };
}

const isPlain = (yes: number): boolean => yes < 0.1 || yes > 0.9;

/** A hand with a meter: its noise, its leads, its display. Ohms read up to half an ohm of leads too much. */
export function takenBy(probe: Probe, truth: Shown, random: SeededRandom): Reading {
  const expected = probe.expect(truth);
  // What is plain to eye and ear is answered rightly; what may be either is drawn.
  if ('yes' in expected)
    return {
      kind: 'answer',
      yes: isPlain(expected.yes) ? expected.yes > 0.5 : random.uniform() < expected.yes,
    };
  if (probe.takes.kind !== 'number') throw new Error(`${probe.id} takes no number`);
  const { range } = probe.takes;
  const { value } = expected;
  if (!Number.isFinite(value)) return { kind: 'number', value };
  const noisy = value + meterUncertainty(range, value) * random.normal();
  return { kind: 'number', value: displayed(range, range === 'ohms' ? Math.max(0, noisy) : noisy) };
}

export interface Probed {
  truth: string;
  probing: Probing;
  end: Exclude<ReturnType<typeof conclude>, { kind: 'open' }>;
  isRight: boolean;
}

/** What a run's own channels tell, taken first: both leads to ground, thrown each way. */
const RUN_PROBES = ['rig.motor-a', 'rig.motor-b'].flatMap((place) =>
  ['forward', 'reverse'].map((way) => `volts-${place}-${way}`),
);

/** Probed to the end from what both leads show, every cause of the profile in question; `count` is of the probes after those. */
export function probedFromLeads(
  one: SeededUnit,
  random: SeededRandom,
  can: (probe: Probe) => boolean,
): Probed & { count: number } {
  const full = trueBench(one, 'full');
  // What would trip the rig never meets the full feed.
  const { feedCurrentA } = one.unit.rig.trip;
  const isShort = WAYS.some((way) => Math.abs(full.bench.thrown(way).feedCurrentA) > feedCurrentA);
  const feed = isShort ? 'limited' : 'full';
  const truth = isShort ? trueBench(one, feed) : full;
  const { voltageV = 12.6 } = one.virtualCase.supply;
  const start = startProbing({
    ...{ unit: one.unit, feed, ...causesOfProfile(one.unit) },
    supplyV: voltageV,
  });
  const before = start.menu.filter(({ id }) => RUN_PROBES.includes(id));
  const probing = before.reduce((so, probe) => withReading(so, probe, takenBy(probe, truth, random)), start);
  const end = walked(one, probing, { truth, random, can });
  return { ...end, count: end.probing.taken.length - before.length };
}

/** From a run as judged. */
export function probed(
  one: SeededUnit,
  desk: Desk,
  random: SeededRandom,
  can: (probe: Probe) => boolean,
): Probed | 'passed' | 'unnamed' {
  const { judgement, isShort } = judgedRun(one, desk);
  if (judgement.verdict === 'pass') return 'passed';
  const causes = causesOfRun(one.unit, judgement.findings);
  if (causes === undefined) return 'unnamed';
  const feed = isShort ? 'limited' : 'full';
  const { voltageV = 12.6 } = one.virtualCase.supply;
  const start = startProbing({ unit: one.unit, feed, ...causes, supplyV: voltageV });
  return walked(one, start, { truth: trueBench(one, feed), random, can });
}

function walked(
  one: SeededUnit,
  start: Probing,
  { truth, random, can }: { truth: Shown; random: SeededRandom; can(probe: Probe): boolean },
): Probed {
  let probing = start;
  for (let step = 0; step < 60; step++) {
    const end = conclude(probing, can);
    if (end.kind !== 'open')
      return {
        ...{ truth: one.truth, probing, end },
        isRight: end.left.some(({ suspect }) => suspect.cause.id === one.truth),
      };
    probing = withReading(probing, end.next, takenBy(end.next, truth, random));
  }
  throw new Error(`${one.truth}: no end after 60 probes`);
}
