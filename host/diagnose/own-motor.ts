// The causes that a run leaves, simulated once more with the motor that the run itself shows: while a profile has only
// generic numbers, its own motor would hide a bad joint of another one's size.

import { type FaultEdit, type MotorMoves, motorOf } from '../circuit/index.js';
import { known } from '../fields/index.js';
import { isThrow, kindOf, type MeasureResult } from '../measure/index.js';
import { hasLimits, type ResolvedUnit } from '../profile/index.js';
import { movesAlike, type Scored } from './beside-another-motor.js';
import { type Hypothesis, KNOWN_BY } from './hypotheses.js';
import { type DiagnosisLibrary, diagnosisLibrary } from './library.js';
import type { Spread } from './likelihood.js';
import { ANOTHER_MOTOR, HEALTHY, isOfHealth } from './nothing-wrong.js';
import { drawnOn } from './own-supply.js';

/** A motor that only its run tells. */
export interface OwnMotor {
  /** The unit with the motor as it was found. */
  unit: ResolvedUnit;
  /** Where it lies outside its family: which way, and the nearest that is usual, by the names of its profile. */
  beyond?: MotorMoves & { usual: Readonly<Record<string, unknown>> };
  /** Whether some check found it other than usual. */
  isOther: boolean;
  /** Made of a few readings under an assumed supply, and no better than those. */
  isRough?: boolean;
}

/** A cause that a usual motor makes e to this less likely than the likeliest one is not looked at again. Choice of this program, no source. */
const LEFT_WITHIN = 30;
/** What the fit, or a few readings of a current alone, leave open of each reading of the motor. Choices of this program, no source. */
const FIT_PART = 0.04;
const ROUGH_PART = 0.12;

/** What `scored` leaves a chance, with the motor of the run and at its supply. */
export function withOwnMotor(
  library: DiagnosisLibrary,
  own: OwnMotor,
  { scored, supplyV }: { scored: readonly Scored[]; supplyV: number },
): DiagnosisLibrary {
  const top = Math.max(...scored.map(({ score }) => score));
  const left = scored.filter(
    ({ entry: { hypothesis }, score }) => isOfHealth(hypothesis) || score > top - LEFT_WITHIN,
  );
  const hypotheses = left.flatMap(({ entry }) => asFound(entry.hypothesis, own));
  const { ownSupply } = library;
  if (ownSupply) return drawnOn(library, { ...ownSupply, voltageV: supplyV }, hypotheses, own.unit);
  const near = diagnosisLibrary(own.unit, { supplyV, hypotheses, ...known({ stands: library.stands }) });
  const answers = new Map(left.map(({ entry }) => [entry.hypothesis.id, entry.answers]));
  return {
    ...near,
    unit: library.unit,
    entries: near.entries.map((entry) => ({
      ...entry,
      answers: answers.get(entry.hypothesis.id) ?? entry.answers,
    })),
  };
}

/** Faults of harness and rig with the motor as found; the motor's own from the nearest usual one, unless it is as found by them. */
function asFound(hypothesis: Hypothesis, { unit, beyond, isOther }: OwnMotor): Hypothesis[] {
  const { id, owner, ways, dropouts, moves, unevenRipple = 0 } = hypothesis;
  const element = motorOf(unit.style).id;
  const speeds = speedsOf(unit);
  const atAnySpeed = (some: Hypothesis['ways']): Hypothesis['ways'] =>
    speeds.flatMap((speed) => some.map((edits) => [...speed, ...edits]));
  const fine = speedsOf(unit, FINE_FLUX);
  if (id === ANOTHER_MOTOR) return beyond || isOther ? [{ ...hypothesis, ways: fine }] : [];
  if (id === HEALTHY && !beyond) return [{ ...hypothesis, ways: fine }];
  if (id !== HEALTHY && owner !== 'motor') return [{ ...hypothesis, ways: atAnySpeed(ways) }];
  const usual: readonly FaultEdit[] = beyond ? [{ do: 'set', element, values: beyond.usual }] : [];
  const explains = beyond !== undefined && moves !== undefined && movesAlike(moves, beyond);
  // What such a cause does to the levels is in the motor as it was found.
  const isInIt = Math.max(dropouts.motor, unevenRipple) > KNOWN_BY;
  if (explains) return [{ ...hypothesis, ways: speeds }];
  return [
    {
      ...hypothesis,
      ways: atAnySpeed([
        ...(isInIt && id !== HEALTHY ? [[]] : []),
        ...ways.map((edits) => [...usual, ...edits]),
      ]),
    },
  ];
}

/** Of the back-EMF constant, which nothing but the place of a limit shows; more of them for a motor without a fault. Choices of this program, no source. */
const FLUX = [1, 0.7, 1.4];
const FINE_FLUX = [1, 0.6, 0.8, 1.25, 1.6];

/** The motor as found: where it stops by itself at a limit, at any speed that its currents allow. */
function speedsOf({ style }: ResolvedUnit, fluxes = FLUX): FaultEdit[][] {
  if (!hasLimits(style)) return [[]];
  return fluxes.map((flux) =>
    flux === 1
      ? []
      : [
          {
            do: 'scale',
            element: motorOf(style).id,
            factors: {
              ...{ backEmfVsPerRad: flux, torqueNmPerA: flux, coulombNm: flux },
              ...{ inertiaKgM2: flux ** 2, viscousNms: flux ** 2 },
            },
          },
        ],
  );
}

/** Of a throw's readings that the motor has a say in only what the fit leaves open; of all others `spread`. */
export function spreadNear({ measured }: MeasureResult, spread: Spread, isRough = false): Spread {
  const part = isRough ? ROUGH_PART : FIT_PART;
  return Object.fromEntries(
    Object.entries(measured).map(([key, reading]) => {
      const usual = spread[key] ?? 0;
      const isOfMotor =
        kindOf(reading).isOfTheWay === undefined && reading.of !== undefined && isThrow(reading.of);
      return [key, isOfMotor ? Math.min(usual, part) : usual];
    }),
  );
}
