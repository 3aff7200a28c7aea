// How far a drive with limit switches goes: its style states one travel, a unit's own is told by the time that it takes from
// end to end.

import { BOARD_LONGEST_S, BOARD_MARGIN_S } from './board-hold.js';
import type { CircuitStyle } from './circuit-style.js';
import { plainValues } from './plain-values.js';
import type { MotorProfile, Plan, RigProfile, UnitProfile } from './schema.js';

/** Whether the drive stops by itself at the ends of its travel. */
export const hasLimits = ({ elements }: Pick<CircuitStyle, 'elements'>): boolean =>
  elements.some(({ kind }) => kind === 'limit');

/** Of the travel's time: a tired supply or cold grease takes so much longer. Common practice, no source. */
const SLOWER = 1.25;
/** To start, and to show at the end that it stands. */
const BESIDE_S = 0.4;

export interface Travelling {
  style: CircuitStyle;
  plan: Plan;
  motor: MotorProfile;
  rig: RigProfile;
}

/**
 * Of a unit whose travel is told: limits as far apart as the motor goes in that time, and throws that are long enough to
 * get there from wherever it stands, as far as the board holds any. What runs from end to end bears that, and so does the
 * rig: a rotor that is held meanwhile is let go as ever.
 */
export function withTravel({ travelS }: Pick<UnitProfile, 'travelS'>, parts: Travelling): Travelling {
  const { style, plan, motor, rig } = parts;
  const { reverse, forward } = endsOfTravelRad(style);
  if (travelS === undefined || reverse === undefined || forward === undefined) return parts;
  const factor = ((travelS - START_S) * runningRadPerS(motor)) / (forward - reverse);
  const throwS = Math.min(SLOWER * travelS + BESIDE_S, BOARD_LONGEST_S - BOARD_MARGIN_S);
  const longestHoldS = throwS + BOARD_MARGIN_S;
  return {
    style: {
      ...style,
      elements: style.elements.map((element) => {
        if (element.kind === 'limit') return { ...element, ...scaled(element, factor) };
        // What stops it where a limit switch fails lies behind both.
        return element.kind === 'motor' && element.endStopsRad
          ? { ...element, endStopsRad: moved(element.endStopsRad, factor) }
          : element;
      }),
    },
    plan: {
      ...plan,
      steps: plan.steps.map((step) =>
        step.position === 'rest' || step.feed !== 'full'
          ? step
          : { ...step, durationS: Math.max(step.durationS, throwS) },
      ),
    },
    motor: { ...motor, longestHoldS: Math.max(motor.longestHoldS, longestHoldS) },
    rig: { ...rig, longestHoldS: Math.max(rig.longestHoldS, longestHoldS) },
  };
}

type Limit = Extract<CircuitStyle['elements'][number], { kind: 'limit' }>;

const scaled = ({ opensAboveRad, opensBelowRad }: Limit, factor: number): Partial<Limit> => ({
  ...(opensAboveRad === undefined ? {} : { opensAboveRad: opensAboveRad * factor }),
  ...(opensBelowRad === undefined ? {} : { opensBelowRad: opensBelowRad * factor }),
});

const moved = ({ minimum, maximum }: { minimum: number; maximum: number }, factor: number) => ({
  minimum: minimum * factor,
  maximum: maximum * factor,
});

/** Shaft angles at which its limit switches open, rad; an end without one is absent. */
export function endsOfTravelRad({ elements }: Pick<CircuitStyle, 'elements'>): {
  reverse?: number;
  forward?: number;
} {
  const limits = elements.filter((element) => element.kind === 'limit');
  const below = limits.flatMap(({ opensBelowRad }) => opensBelowRad ?? []);
  const above = limits.flatMap(({ opensAboveRad }) => opensAboveRad ?? []);
  return {
    ...(below.length === 0 ? {} : { reverse: Math.max(...below) }),
    ...(above.length === 0 ? {} : { forward: Math.min(...above) }),
  };
}

/** On which somebody times it: a charged battery over its nominal voltage, and leads and joints to the motor. Common practice, no source. */
const CHARGED = 1.05;
const LEADS_OHM = 0.12;
/** The start takes so much longer than running from the first. Common practice, no source. */
const START_S = 0.1;

/** Steady speed of the shaft, rad/s: where the torque of V = I R + ke w just carries the friction. */
function runningRadPerS(motor: MotorProfile): number {
  const { nominalVoltageV, backEmfVsPerRad, torqueNmPerA, coulombNm, viscousNms, ...plain } =
    plainValues(motor);
  const resistanceOhm = plain.resistanceOhm + LEADS_OHM;
  const heldNm = (torqueNmPerA * (CHARGED * nominalVoltageV - plain.brushDropV)) / resistanceOhm;
  return Math.max(0, heldNm - coulombNm) / (viscousNms + (torqueNmPerA * backEmfVsPerRad) / resistanceOhm);
}
