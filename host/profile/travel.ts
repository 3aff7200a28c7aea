// How far a drive with limit switches goes: its style states one travel, a unit's own is told by the time that it takes from
// end to end.

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

/**
 * Style and plan of a unit whose travel is told: limits as far apart as the motor goes in that time, and throws that are
 * long enough to get there from wherever it stands, as far as motor and rig may be held thrown.
 */
export function withTravel(of: {
  unit: UnitProfile;
  style: CircuitStyle;
  plan: Plan;
  motor: MotorProfile;
  rig: RigProfile;
}): { style: CircuitStyle; plan: Plan } {
  const { unit, style, plan, motor, rig } = of;
  const { travelS } = unit;
  const statedRad = statedTravelRad(style);
  if (travelS === undefined || statedRad === undefined) return { style, plan };
  const factor = ((travelS - START_S) * runningRadPerS(motor)) / statedRad;
  const neededS = SLOWER * travelS + BESIDE_S;
  const borneS = Math.min(motor.longestHoldS, rig.longestHoldS);
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
          : { ...step, durationS: Math.max(step.durationS, Math.min(neededS, borneS)) },
      ),
    },
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

function statedTravelRad({ elements }: CircuitStyle): number | undefined {
  const limits = elements.filter((element) => element.kind === 'limit');
  const above = limits.flatMap(({ opensAboveRad }) => opensAboveRad ?? []);
  const below = limits.flatMap(({ opensBelowRad }) => opensBelowRad ?? []);
  return above.length > 0 && below.length > 0 ? Math.min(...above) - Math.max(...below) : undefined;
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
