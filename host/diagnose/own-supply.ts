// A soft supply is read in the run itself: it is an input of every cause, not what the readings are explained by. On such a
// supply all causes are simulated once more, and a supply that sags is what a good unit reads on it.

import { type FaultEdit, nominalInput, SUPPLY_SOURCE } from '../circuit/index.js';
import { known } from '../fields/index.js';
import { isFullThrow, type MeasureResult, unloadedSupply } from '../measure/index.js';
import { type Hypothesis, nothingWrong } from './hypotheses.js';
import { type DiagnosisLibrary, diagnosisLibrary, goodOf } from './library.js';
import { HEALTHY } from './nothing-wrong.js';

/** As the run read it. */
export interface OwnSupply {
  /** Before anything drew on it. */
  voltageV: number;
  sourceOhm: number;
}

/** Above that of the profile's bench: a tired battery or thin leads have 0.1 to 0.5 Ohm, a sound one below 0.05 (common practice, no source). */
const SOFT_OHM = 0.06;
/** A slope that is known no better than this part is no plain resistance. Choice of this program, no source. */
const MOST_UNSURE = 0.25;

/** Undefined where the supply is as stiff as usual, or nothing tells how stiff it is. */
export function softSupply(
  { measured }: Pick<MeasureResult, 'measured'>,
  library: DiagnosisLibrary,
): OwnSupply | undefined {
  const voltageV = unloadedSupply(measured)?.value;
  const usual = goodOf(library)?.measured ?? {};
  const overUsual = Object.entries(measured).flatMap(([key, { what, of, value, expandedUncertainty }]) => {
    const good = usual[key];
    return what === 'sourceResistanceOhm' && of !== undefined && isFullThrow(of) && good !== undefined
      ? [{ over: value - good.value, value, expandedUncertainty }]
      : [];
  });
  const [first, ...others] = overUsual;
  if (first === undefined || voltageV === undefined) return undefined;
  const isPlain = overUsual.every(
    ({ over, value, expandedUncertainty }) =>
      over - expandedUncertainty > SOFT_OHM && expandedUncertainty < MOST_UNSURE * value,
  );
  const isOne = others.every(
    ({ over, expandedUncertainty }) =>
      Math.abs(over - first.over) <= Math.hypot(expandedUncertainty, first.expandedUncertainty),
  );
  if (!isPlain || !isOne) return undefined;
  const mean = overUsual.reduce((sum, { over }) => sum + over, 0) / overUsual.length;
  return { voltageV, sourceOhm: nominalInput(library.unit).supply.sourceResistanceOhm + mean };
}

/** `library` on that supply. */
export const onOwnSupply = (library: DiagnosisLibrary, supply: OwnSupply): DiagnosisLibrary =>
  drawnOn(
    library,
    supply,
    library.entries.map(({ hypothesis }) => hypothesis),
  );

/**
 * `hypotheses` on that supply, beside what a good unit reads on it. That nothing is wrong means the supply as well; that
 * it sags is what a good unit reads, and as likely as one, since it is known to be soft. Answers of a person's meter stay
 * those of `library`.
 */
export function drawnOn(
  library: DiagnosisLibrary,
  { voltageV, sourceOhm }: OwnSupply,
  hypotheses: readonly Hypothesis[],
  unit = library.unit,
): DiagnosisLibrary {
  const { sourceResistanceOhm } = nominalInput(library.unit).supply;
  const stiff: FaultEdit = { do: 'set', element: SUPPLY_SOURCE, values: { sourceResistanceOhm } };
  const ofGood = hypotheses.find(({ id }) => id === HEALTHY)?.ways ?? [[]];
  const asked = hypotheses.map((hypothesis): Hypothesis => {
    if (hypothesis.id === HEALTHY) return { ...hypothesis, ways: ofGood.map((edits) => [...edits, stiff]) };
    return hypothesis.isOfSupply ? { ...hypothesis, ways: ofGood, prior: nothingWrong.prior } : hypothesis;
  });
  const { stands } = library;
  const options = {
    supplyV: voltageV,
    sourceOhm,
    hypotheses: [nothingWrong, ...asked],
    ...known({ stands }),
  };
  const { entries, ...drawn } = diagnosisLibrary(unit, options);
  const [good, ...causes] = entries;
  const asListed = new Map(library.entries.map((entry) => [entry.hypothesis.id, entry]));
  return {
    ...drawn,
    unit: library.unit,
    ownSupply: { voltageV, sourceOhm },
    ...(good?.patterns[0] === undefined ? {} : { good: good.patterns[0] }),
    entries: causes.map((entry) => {
      const { id, isOfSupply, prior } = entry.hypothesis;
      const { hypothesis = entry.hypothesis, answers = entry.answers } = asListed.get(id) ?? {};
      // A meter is asked about the supply as the list states it.
      return { ...entry, answers, ...(isOfSupply ? { hypothesis: { ...hypothesis, prior } } : {}) };
    }),
  };
}
