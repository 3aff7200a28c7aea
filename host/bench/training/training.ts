// One training run: a seeded fault hidden on the virtual rig, the plan run as for any unit, probes asked, one fault
// named, then everything told. What is hidden leaves this object only by `reveal`.

import { HEALTHY, type ProbeAnswer, type ProbeChoice, probeMenu } from '../../diagnose/index.js';
import { known } from '../../fields/index.js';
import type { Judgement } from '../../judge/index.js';
import type { ResolvedUnit, VirtualCase } from '../../profile/index.js';
import type { Desk } from '../desk.js';
import { streamOf } from '../event-queue.js';
import type { BenchEvent } from '../events.js';
import { runUnit } from '../run-unit.js';
import type { Connection } from '../unit-job.js';
import { caseOf, type HiddenFault, hideFault, isRight, type Nameable, nameablesOf } from './hidden-fault.js';
import { type Proof, proofs, twoProofs } from './proof.js';
import { type ReadingsRow, readingsTable, usualReadings } from './readings.js';
import { TrueCircuits } from './true-circuits.js';
import { unrecordedStore } from './unrecorded.js';

/** Written where a real unit has its tag. */
export const TRAINING_TAG = 'TRAINING';

export interface AskedProbe {
  id: string;
  question: string;
  answer: ProbeAnswer;
}

export interface Reveal {
  seed: number;
  hidden: Nameable;
  named?: Nameable;
  right: boolean;
  /** Named rightly, but another fault of the same group was hidden: no reading tells them apart. */
  inseparable: boolean;
  /** With a fault: the two readings furthest from a good unit's, from two measurements. */
  proofs: (Proof & { asked: boolean })[];
  probesAsked: number;
  /** What judging would have said of the run. */
  verdict?: Judgement['verdict'];
  sentence?: string;
  firstFinding?: string;
}

export interface TrainingTools {
  connect(virtualCase: VirtualCase): Promise<Connection>;
  desk: Desk;
  signal: AbortSignal;
  now(): Date;
}

export class Training {
  readonly names: readonly Nameable[];
  readonly menu: readonly Pick<ProbeChoice, 'id' | 'question'>[];
  readonly asked: AskedProbe[] = [];
  readonly #menu: ProbeChoice[];
  readonly #hidden: HiddenFault;
  readonly #circuits: TrueCircuits;
  #judgement: Judgement | undefined;
  #readings: ReadingsRow[] | undefined;

  constructor(
    readonly unit: ResolvedUnit,
    readonly seed: number,
  ) {
    this.names = nameablesOf(unit);
    this.#hidden = hideFault(unit, seed);
    this.#circuits = new TrueCircuits(unit, this.#hidden.virtualCase);
    this.#menu = probeMenu(unit);
    this.menu = this.#menu.map(({ id, question }) => ({ id, question }));
  }

  /** The run's events but those that judge: checks, verdict and findings are withheld, and nothing is recorded. */
  run(tools: TrainingTools): AsyncIterable<BenchEvent> {
    const store = unrecordedStore();
    return streamOf<BenchEvent>(async (emit) => {
      await runUnit(
        {
          index: 0,
          tag: TRAINING_TAG,
          unit: this.unit,
          connect: () => tools.connect(this.#hidden.virtualCase),
        },
        { store, desk: tools.desk, signal: tools.signal, now: tools.now },
        (event) => {
          if (event.kind === 'judged') this.#judgement = event.judgement;
          else if (event.kind !== 'check' && event.kind !== 'stored') emit(event);
        },
      );
      if (this.#judgement) this.#readings = readingsTable(this.#judgement.measured, usualReadings(this.unit));
    });
  }

  /** Readings of the run; undefined when it was broken off. */
  get readings(): ReadingsRow[] | undefined {
    return this.#readings;
  }

  /** @throws RangeError for an id that is not on the menu. */
  ask(id: string): AskedProbe {
    const choice = this.#menu.find((each) => each.id === id);
    if (choice === undefined) throw new RangeError(`ask: no measurement ${id}`);
    const before = this.asked.find((each) => each.id === id);
    if (before) return before;
    const asked = { id, question: choice.question, answer: choice.ask(this.#circuits) };
    this.asked.push(asked);
    return asked;
  }

  /** Ends the training. @param named absent when the learner gave up. */
  reveal(named?: Nameable): Reveal {
    const { virtualCase: _, ...hidden } = this.#hidden;
    const good = new TrueCircuits(this.unit, caseOf(this.unit, HEALTHY, this.seed));
    const told = hidden.id === HEALTHY ? [] : twoProofs(proofs(this.#menu, this.#circuits, good));
    const right = named !== undefined && isRight(hidden, named);
    const judgement = this.#judgement;
    const first = judgement?.findings[0]?.sentence;
    return {
      seed: this.seed,
      hidden,
      ...(named ? { named } : {}),
      right,
      inseparable: right && named.id !== hidden.id,
      proofs: told.map((proof) => ({
        ...proof,
        asked: this.asked.some(({ id }) => id === proof.probeId),
      })),
      probesAsked: this.asked.length,
      ...known({ verdict: judgement?.verdict, sentence: judgement?.sentence, firstFinding: first }),
    };
  }
}
