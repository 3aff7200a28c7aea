// What every cause on a profile's list reads, simulated once and measured like a real run; kept while the profile is on
// the bench, and between processes by whoever asks.

import { itemAt } from '../arrays/index.js';
import type { Capture } from '../capture/index.js';
import { CircuitError, nominalInput, type UnitCircuitInput, withoutRipple } from '../circuit/index.js';
import { known } from '../fields/index.js';
import type { ResolvedUnit } from '../profile/index.js';
import { inDegrees } from './degrees.js';
import { type Hypothesis, hypothesesOf } from './hypotheses.js';
import { HEALTHY } from './nothing-wrong.js';
import { type Pattern, patternIn, patternOf, runOf } from './pattern.js';
import type { ProbeAnswer } from './probing/index.js';
import { maySetIn, settingInRuns } from './sets-in-runs.js';

export type { Pattern };

/** A cause and each way that it may show. Plain data, as all of a library is. */
export interface LibraryEntry<P = Pattern> {
  hypothesis: Hypothesis;
  patterns: P[];
  /** What it reads to a person with a meter, by the probe's id, as far as that was asked. */
  answers: Record<string, ProbeAnswer>;
}

export interface Library<P, K extends 'unit' | 'relay'> {
  /** What is on the list: what is wrong with a unit that throws, or with a relay by itself. */
  kind: K;
  profileId: string;
  unit: ResolvedUnit;
  /** Supply that the patterns were simulated with. */
  supplyV: number;
  entries: LibraryEntry<P>[];
  /** Hypotheses that could not be simulated, with the solver's reason. */
  notes: string[];
}

export interface DiagnosisLibrary extends Library<Pattern, 'unit'> {
  /** The supply of a run, where the causes were simulated on it for being soft; `good` is a good unit on it. */
  ownSupply?: { voltageV: number; sourceOhm: number };
  /** Where the drive may have stood, when other places than the usual one were asked too. */
  stands?: readonly Stand[];
  good?: Pattern;
}

/** What a good unit reads on the supply that the causes were simulated on. */
export const goodOf = ({ good, entries }: DiagnosisLibrary): Pattern | undefined =>
  good ?? entries.find(({ hypothesis }) => hypothesis.id === HEALTHY)?.patterns[0];

/** Shaft angle before the first throw, rad; undefined where the model has it by itself. */
export type Stand = number | undefined;

/** The solver's reason where there is no pattern. */
type Outcome<P> = P[] | string;

/** What some pieces gave; can be sent between threads. */
export interface PatternsShare<P = Pattern> {
  outcomes: [number, Outcome<P>][];
}

export interface LibraryOptions {
  /** Moves the supply off its nominal. */
  supplyV?: number;
  /** Its own resistance, in place of the nominal one. */
  sourceOhm?: number;
  /** Default: everything that may be the matter with the unit. */
  hypotheses?: readonly Hypothesis[];
  /** Places from which each cause is asked, the usual one first. Default: that alone. */
  stands?: readonly Stand[];
}

/** The runs that a library is made of, in pieces that any thread may do. */
export abstract class CausesWork<P, K extends 'unit' | 'relay'> {
  protected abstract readonly kind: K;
  readonly supplyV: number;
  /** Of each cause its circuits, all of one place before those of the next. */
  readonly ways: { hypothesis: Hypothesis; inputs: UnitCircuitInput[] }[];
  readonly stands: readonly Stand[];
  /** No circuit twice, and of faults that are one to every reading only the first. */
  readonly #runs: UnitCircuitInput[];
  readonly #outcomes = new Map<UnitCircuitInput, Outcome<P>>();

  constructor(
    readonly unit: ResolvedUnit,
    options: LibraryOptions = {},
  ) {
    const { supply, ...nominal } = withoutRipple(nominalInput(unit));
    this.supplyV = options.supplyV ?? supply.voltageV;
    const sourceResistanceOhm = options.sourceOhm ?? supply.sourceResistanceOhm;
    const good: UnitCircuitInput = {
      ...nominal,
      supply: { ...supply, voltageV: this.supplyV, sourceResistanceOhm },
    };
    this.stands = options.stands ?? [undefined];
    // What shows in the same way is one circuit.
    const places = this.stands.map((startAngleRad) => {
      const standing: UnitCircuitInput = { ...good, ...known({ startAngleRad }) };
      const built = new Map<Hypothesis['edits'], UnitCircuitInput>();
      return ({ id }: Hypothesis, edits: Hypothesis['edits']): UnitCircuitInput => {
        if (edits.length === 0) return standing;
        const input = built.get(edits) ?? { ...standing, faults: [{ id, edits }] };
        built.set(edits, input);
        return input;
      };
    });
    this.ways = (options.hypotheses ?? hypothesesOf(unit)).map((hypothesis) => ({
      hypothesis,
      inputs: places.flatMap((inputOf) => hypothesis.ways.map((edits) => inputOf(hypothesis, edits))),
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
    this.#simulate(itemAt(this.#runs, piece));
  }

  share(): PatternsShare<P> {
    return {
      outcomes: this.#runs.flatMap((input, piece): [number, Outcome<P>][] => {
        const outcome = this.#outcomes.get(input);
        return outcome === undefined ? [] : [[piece, outcome]];
      }),
    };
  }

  add({ outcomes }: PatternsShare<P>): void {
    for (const [piece, outcome] of outcomes) this.#outcomes.set(itemAt(this.#runs, piece), outcome);
  }

  /** What this circuit reads, in each way that it may. @throws CircuitError when it cannot be solved. */
  protected abstract read(input: UnitCircuitInput): P[];

  /** Of one cause, what lies between its ways to show and the good unit taken in. */
  protected between(_: Hypothesis, patterns: P[], _good: P | undefined): P[] {
    return patterns;
  }

  #simulate(input: UnitCircuitInput): Outcome<P> {
    let outcome: Outcome<P>;
    try {
      outcome = this.read(input);
    } catch (error) {
      if (!(error instanceof CircuitError)) throw error;
      outcome = error.message;
    }
    this.#outcomes.set(input, outcome);
    return outcome;
  }

  #ofPlaces(outcomes: readonly Outcome<P>[]): P[][] {
    const each = outcomes.length / this.stands.length;
    return this.stands.map((_, place) =>
      outcomes
        .slice(place * each, (place + 1) * each)
        .flatMap((outcome) => (typeof outcome === 'string' ? [] : outcome)),
    );
  }

  /** What the first cause on the list, a good unit, reads from there. */
  #goodAt(place: number): P | undefined {
    const inputs = this.ways[0]?.inputs ?? [];
    const input = inputs[(place * inputs.length) / this.stands.length];
    const outcome = input && this.#outcomes.get(input);
    return typeof outcome === 'string' ? undefined : outcome?.[0];
  }

  /** Does what nobody has done yet. */
  finish(): Library<P, K> {
    const notes: string[] = [];
    const entries: LibraryEntry<P>[] = [];
    const ofGroup = new Map<string, P[]>();
    for (const { hypothesis, inputs } of this.ways) {
      const { id, group } = hypothesis;
      let patterns = group === undefined ? undefined : ofGroup.get(group);
      if (!patterns) {
        const outcomes = inputs.map((input) => this.#outcomes.get(input) ?? this.#simulate(input));
        const reason = outcomes.find((outcome) => typeof outcome === 'string');
        if (reason !== undefined) {
          notes.push(`${id}: ${reason}`);
          continue;
        }
        patterns = this.#ofPlaces(outcomes).flatMap((read, place) => {
          const good = place === 0 ? entries[0]?.patterns[0] : this.#goodAt(place);
          return this.between(hypothesis, read, good);
        });
      }
      if (group !== undefined) ofGroup.set(group, patterns);
      entries.push({ hypothesis, patterns, answers: {} });
    }
    const { kind, unit, supplyV } = this;
    return { kind, profileId: unit.unit.id, unit, supplyV, entries, notes };
  }
}

/** The work on a unit that throws. */
export class LibraryWork extends CausesWork<Pattern, 'unit'> {
  protected override readonly kind = 'unit';

  protected override read(input: UnitCircuitInput): Pattern[] {
    if (this.unit.witness !== 'current-alone') return [patternOf(this.unit, input)];
    const run = runOf(this.unit, input);
    const cause = this.ways.find(({ inputs }) => inputs.includes(input))?.hypothesis;
    const later = cause && maySetIn(cause) ? settingInRuns(this.unit, this.#goodRun(), run) : [];
    return [patternIn(this.unit, run), ...later];
  }

  #good: Capture | undefined;
  #goodRun(): Capture {
    const good = itemAt(itemAt(this.ways, 0).inputs, 0);
    this.#good ??= runOf(this.unit, good);
    return this.#good;
  }

  protected override between(cause: Hypothesis, patterns: Pattern[], good: Pattern | undefined): Pattern[] {
    return inDegrees(cause, patterns, good);
  }
}

/** The library of a profile; of `work`, which must be of the same unit, only what is not done yet is done here. */
export const diagnosisLibrary = (
  unit: ResolvedUnit,
  options: LibraryOptions = {},
  work = new LibraryWork(unit, options),
): DiagnosisLibrary => ({
  ...work.finish(),
  ...(work.stands.length > 1 ? { stands: work.stands } : {}),
});
