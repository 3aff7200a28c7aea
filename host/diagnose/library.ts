// Every hypothesis of a profile, simulated once and measured like a real run; kept while the profile is on the bench.

import { CircuitError, nominalInput, type UnitCircuitInput } from '../circuit/index.js';
import type { ResolvedUnit } from '../profile/index.js';
import { inDegrees } from './degrees.js';
import { type Hypothesis, hypothesesOf } from './hypotheses.js';
import { type Pattern, patternOf } from './pattern.js';

export type { Pattern };

export interface LibraryEntry {
  hypothesis: Hypothesis;
  patterns: Pattern[];
}

export interface DiagnosisLibrary {
  profileId: string;
  unit: ResolvedUnit;
  /** Supply that the patterns were simulated with. */
  supplyV: number;
  entries: LibraryEntry[];
  /** Hypotheses that could not be simulated, with the solver's reason. */
  notes: string[];
}

/** The solver's reason where there is no pattern. */
type Outcome = Pattern | string;

/** What some pieces gave; can be sent between threads. */
export interface PatternsShare {
  outcomes: [number, Outcome][];
}

/** The runs that a library is made of, in pieces that any thread may do; `supplyV` moves the supply off its nominal. */
export class LibraryWork {
  readonly supplyV: number;
  readonly ways: { hypothesis: Hypothesis; inputs: UnitCircuitInput[] }[];
  /** No circuit twice, and of faults that are one to every reading only the first. */
  readonly #runs: UnitCircuitInput[];
  readonly #outcomes = new Map<UnitCircuitInput, Outcome>();

  constructor(
    readonly unit: ResolvedUnit,
    options: { supplyV?: number } = {},
  ) {
    const nominal = nominalInput(unit);
    const { ripple: _ripple, ...motor } = nominal.motor;
    this.supplyV = options.supplyV ?? nominal.supply.voltageV;
    const good: UnitCircuitInput = {
      ...nominal,
      motor,
      supply: { ...nominal.supply, voltageV: this.supplyV },
    };
    this.ways = hypothesesOf(unit).map((hypothesis) => ({
      hypothesis,
      inputs: hypothesis.variants.map((edit) => edit(good)),
    }));
    const groups = new Set<string>();
    const runs = new Set<UnitCircuitInput>();
    for (const { hypothesis, inputs } of this.ways) {
      if (hypothesis.group !== undefined && groups.has(hypothesis.group)) continue;
      if (hypothesis.group !== undefined) groups.add(hypothesis.group);
      for (const input of inputs) runs.add(input);
    }
    this.#runs = [...runs];
  }

  get count(): number {
    return this.#runs.length;
  }

  get isComplete(): boolean {
    return this.#runs.every((input) => this.#outcomes.has(input));
  }

  do(piece: number): void {
    this.#simulate(this.#runs[piece]!);
  }

  share(): PatternsShare {
    return {
      outcomes: this.#runs.flatMap((input, piece): [number, Outcome][] => {
        const outcome = this.#outcomes.get(input);
        return outcome === undefined ? [] : [[piece, outcome]];
      }),
    };
  }

  add({ outcomes }: PatternsShare): void {
    for (const [piece, outcome] of outcomes) this.#outcomes.set(this.#runs[piece]!, outcome);
  }

  /** Simulates it unless that was done. */
  outcomeOf(input: UnitCircuitInput): Outcome {
    return this.#outcomes.get(input) ?? this.#simulate(input);
  }

  #simulate(input: UnitCircuitInput): Outcome {
    let outcome: Outcome;
    try {
      outcome = patternOf(this.unit, input);
    } catch (error) {
      if (!(error instanceof CircuitError)) throw error;
      outcome = error.message;
    }
    this.#outcomes.set(input, outcome);
    return outcome;
  }
}

/** The library of a profile; of `work`, which must be of the same unit, only what is not done yet is done here. */
export function diagnosisLibrary(
  unit: ResolvedUnit,
  options: { supplyV?: number } = {},
  work = new LibraryWork(unit, options),
): DiagnosisLibrary {
  const notes: string[] = [];
  const entries: LibraryEntry[] = [];
  const ofGroup = new Map<string, Pattern[]>();
  for (const { hypothesis, inputs } of work.ways) {
    const { id, group } = hypothesis;
    let patterns = group === undefined ? undefined : ofGroup.get(group);
    if (!patterns) {
      const outcomes = inputs.map((input) => work.outcomeOf(input));
      const reason = outcomes.find((outcome) => typeof outcome === 'string');
      if (reason !== undefined) {
        notes.push(`${id}: ${reason}`);
        continue;
      }
      patterns = inDegrees(id, outcomes as Pattern[], entries[0]?.patterns[0]);
    }
    if (group !== undefined) ofGroup.set(group, patterns);
    entries.push({ hypothesis, patterns });
  }
  return { profileId: unit.unit.id, unit, supplyV: work.supplyV, entries, notes };
}
