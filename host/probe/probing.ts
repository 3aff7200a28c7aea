// Probing as a value: the causes with their weights, what was taken, what is left. Each reading gives a new one.

import {
  buildUnitCircuit,
  type Fault,
  type FeedState,
  nominalInput,
  withoutRipple,
} from '../circuit/index.js';
import { CircuitsInPieces, type Hypothesis } from '../diagnose/index.js';
import type { ResolvedUnit } from '../profile/index.js';
import { BenchOf } from './bench-of.js';
import type { WeighedCause } from './causes.js';
import { menuOf } from './menu.js';
import type { Probe, Reading, Shown } from './probe.js';
import { likelihoodsOf, type Suspect, unlistedLikelihood, variantsOf } from './weigh.js';

/** Where a probing starts: from a run, or from a profile before any power. */
export interface Start {
  unit: ResolvedUnit;
  /** What the throws are made with: the limited one after a short. */
  feed: Exclude<FeedState, 'off'>;
  causes: readonly WeighedCause[];
  /** Chance that the matter is none of them. */
  unlisted: number;
  /** Of this bench on this day, unloaded; the profile's when absent. */
  supplyV?: number;
  /** In place of what the unit's own style offers. */
  menu?: readonly Probe[];
  /** Nothing stands against the unit yet: it is right only when every cause has been ruled out by a reading. */
  proves?: true;
}

export interface Taken {
  probe: Probe;
  reading: Reading;
}

export interface Probing {
  readonly start: Start;
  readonly menu: readonly Probe[];
  readonly suspects: readonly Suspect[];
  readonly taken: readonly Taken[];
  /** Ids of probes that could not be made. */
  readonly passedOver: ReadonlySet<string>;
}

export interface Ranked {
  suspect: Suspect;
  chance: number;
  /** How it shows, if it is the cause: chances of its variants, summing to one. */
  parts: readonly number[];
}

export interface Standing {
  /** Likeliest first; with `unlisted` they sum to one. */
  ranked: Ranked[];
  unlisted: number;
}

/** @throws RangeError where there is no cause to part. */
export function startProbing(start: Start): Probing {
  if (start.causes.length === 0) throw new RangeError('startProbing: no causes to part');
  const benchWith = benchesOf(start);
  const goodBench = benchWith(undefined, []);
  const suspects = start.causes.map(({ cause, weight, isNamed }): Suspect => {
    const ways = cause.ways.map((edits): Shown => {
      return { cause, bench: edits.length === 0 ? goodBench : benchWith(cause, edits) };
    });
    return { cause, weight, isNamed, ways, good: { cause, bench: goodBench } };
  });
  const causes = start.causes.map(({ cause }) => cause);
  const menu = start.menu ?? menuOf(start.unit, causes);
  return { start, menu, suspects, taken: [], passedOver: new Set() };
}

type BenchWith = (cause: Hypothesis | undefined, edits: Hypothesis['edits']) => BenchOf;

/** What was solved of a unit is kept with it: a tray of one kind asks the same circuits again. */
const solved = new WeakMap<ResolvedUnit, Map<string, BenchOf>>();

function benchesOf({ unit, feed, supplyV }: Start): BenchWith {
  const input = withoutRipple(nominalInput(unit));
  const supply = { ...input.supply, ...(supplyV === undefined ? {} : { voltageV: supplyV }) };
  const kept = solved.get(unit) ?? new Map<string, BenchOf>();
  solved.set(unit, kept);
  return (cause, edits) => {
    const key = `${feed} ${supply.voltageV} ${cause?.id ?? ''} ${JSON.stringify(edits)}`;
    const before = kept.get(key);
    if (before !== undefined) return before;
    const present = cause === undefined ? [] : [{ ...cause, edits }];
    const build = (faults: readonly Fault[]) => buildUnitCircuit({ ...input, supply, faults });
    const bench = new BenchOf(new CircuitsInPieces(unit, present, build), feed);
    kept.set(key, bench);
    return bench;
  };
}

/** After a reading. */
export const withReading = (probing: Probing, probe: Probe, reading: Reading): Probing => ({
  ...probing,
  taken: [...probing.taken, { probe, reading }],
});

/** Before the last reading; unchanged where nothing was taken. */
export const withoutLast = (probing: Probing): Probing => ({ ...probing, taken: probing.taken.slice(0, -1) });

/** The probe cannot be made on this bench: it is not asked for again. */
export const passedOver = (probing: Probing, probe: Probe): Probing => ({
  ...probing,
  passedOver: new Set([...probing.passedOver, probe.id]),
});

/** Named causes that fit so badly let the rest of the list in. Choice of this program, no source. */
const MISFIT = 0.15;

/**
 * The causes as they stand after all that was taken. What the run did not name counts as none of the list until what it
 * named does not fit: it is long to solve, and seldom asked.
 */
export function standingOf(probing: Probing): Standing {
  const { suspects, start } = probing;
  const named = suspects.filter(({ isNamed }) => isNamed);
  const behind = suspects.filter(({ isNamed }) => !isNamed);
  const rest = behind.reduce((sum, { weight }) => sum + weight, 0);
  const first = weighedBy(probing, named, start.unlisted + rest);
  return first.unlisted < MISFIT || behind.length === 0
    ? first
    : weighedBy(probing, suspects, start.unlisted);
}

function weighedBy({ taken }: Probing, suspects: readonly Suspect[], unlistedWeight: number): Standing {
  const scored = suspects.map((suspect) => ({ suspect, ...scoreOf(suspect, taken) }));
  const unlisted =
    Math.log(unlistedWeight) +
    taken.reduce((sum, { probe, reading }) => sum + Math.log(unlistedLikelihood(probe, reading)), 0);
  const top = Math.max(unlisted, ...scored.map(({ log }) => log));
  const total = Math.exp(unlisted - top) + scored.reduce((sum, { log }) => sum + Math.exp(log - top), 0);
  return {
    ranked: scored
      .map(({ suspect, log, parts }) => ({ suspect, parts, chance: Math.exp(log - top) / total }))
      .sort((a, b) => b.chance - a.chance),
    unlisted: Math.exp(unlisted - top) / total,
  };
}

/** Log of weight times likelihood of all that was taken, the mean over the cause's variants. */
function scoreOf(suspect: Suspect, taken: readonly Taken[]): { log: number; parts: number[] } {
  const logs = new Array<number>(variantsOf(suspect)).fill(0);
  for (const { probe, reading } of taken)
    for (const [variant, likelihood] of likelihoodsOf(probe, reading, suspect).entries())
      logs[variant] = (logs[variant] ?? 0) + Math.log(likelihood);
  const top = Math.max(...logs);
  const weights = logs.map((log) => Math.exp(log - top));
  const total = weights.reduce((sum, weight) => sum + weight, 0);
  return {
    log: Math.log(suspect.weight) + top + Math.log(total / logs.length),
    parts: weights.map((weight) => weight / total),
  };
}
