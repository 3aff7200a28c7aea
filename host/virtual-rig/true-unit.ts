// What really sits on the virtual bench: the profile's nominal values, each drawn from its tolerance, times what the
// case says is wrong with this one. Judging never sees these numbers.

import {
  type AppliedFault,
  angleAtRad,
  blownFuse,
  buildUnitCircuit,
  faultById,
  type UnitCircuit,
  type UnitCircuitInput,
} from '../circuit/index.js';
import { known } from '../fields/index.js';
import { holdsRotor, type ResolvedUnit, type Toleranced, type VirtualCase } from '../profile/index.js';
import type { Chance } from './chance.js';

/** Contact bounce of small relays lasts 1 to 5 ms (common catalogue figure); these are its shorter half. */
const BOUNCE_LENGTH_S = [0.0008, 0.0025] as const;
/** Screw terminals and switch blades: from as new to a little oxidised (value from memory). */
const CONTACT_FACTOR = [0.8, 1.6] as const;

/** @throws RangeError for a fault id that the style does not have, or a motor's condition where there is none. */
export function trueUnit(
  unit: ResolvedUnit,
  virtualCase: VirtualCase,
  dice: Chance,
  isCoilLimited = false,
): UnitCircuit {
  const { motor, load, relay, rig } = unit;
  refuseMotorCase(unit, virtualCase);
  // Magnet strength moves back-EMF and torque together; the rest is drawn apart.
  const flux = dice.withinTolerance();
  const drawMotor = (key: string, value: unknown): unknown => {
    const shared = key === 'backEmfVsPerRad' || key === 'torqueNmPerA' ? flux : undefined;
    const drawn = drawValue(value, dice, shared);
    const scale = virtualCase.motorScale[key] ?? 1;
    return typeof drawn === 'number' ? drawn * scale : drawn;
  };
  const input = {
    style: unit.style,
    motor: mapValues({ reverseFrictionRatio: 1, ...motor }, drawMotor),
    ...(load === undefined ? {} : { load: mapValues(load, (_, value) => drawValue(value, dice)) }),
    rig: mapValues(rig, (key, value) => (key === 'supply' ? drawAll(value, dice) : value)),
    ...(relay === undefined ? {} : { relay: mapValues(relay, (_, value) => drawValue(value, dice)) }),
    wiring: unit.unit.wiring,
    supply: {
      voltageV: number(rig.supply.voltageV, dice),
      sourceResistanceOhm: rig.supply.sourceResistanceOhm,
      ...known({ currentLimitA: rig.supply.currentLimitA }),
      ...known(virtualCase.supply),
    },
    temperatureC: virtualCase.temperatureC,
    faults: [...virtualCase.faults.map((id) => faultById(unit, id)), ...blownFuses(virtualCase)],
    ...(isCoilLimited ? { coilLimiter: 'switched' as const } : {}),
    ...(holdsRotor(unit.plan) ? { rotorHeld: true } : {}),
    bounceS: drawBounce(dice),
    contactFactor: dice.between(...CONTACT_FACTOR),
    startAngleRad: startAngleRad(unit, virtualCase, dice),
    ...(virtualCase.wornBrushes === undefined
      ? {}
      : { brushContact: { extraResistanceOhm: virtualCase.wornBrushes.extraResistanceOhm } }),
    ...known({ segmentFault: virtualCase.segmentFault, protector: virtualCase.protector }),
  };
  // The mapped profiles hold plain numbers by construction, which the compiler cannot see through mapValues.
  return buildUnitCircuit(input as unknown as UnitCircuitInput);
}

/** Any, but where a drive stands at a told place of its travel. */
function startAngleRad({ style }: ResolvedUnit, { standsAt }: VirtualCase, dice: Chance): number {
  const anyRad = dice.between(0, 2 * Math.PI);
  return (standsAt === undefined ? undefined : angleAtRad(style, standsAt)) ?? anyRad;
}

/** A rig has it where coils may hang on it. */
export const hasCoilLimiter = ({ style, rig }: ResolvedUnit): boolean =>
  rig.limitedCoilFeedOhm !== undefined && style.thrownBy === 'trigger';

/** F2 is in the stop loop alone, which is the board's to see. */
const blownFuses = ({ blownFuses: fuses = [] }: VirtualCase): AppliedFault[] =>
  fuses.flatMap((fuse) => (fuse === 'F2' ? [] : [blownFuse(fuse)]));

function refuseMotorCase(
  { unit, load }: ResolvedUnit,
  { id, motorScale, wornBrushes, segmentFault, protector, turnsOtherWay }: VirtualCase,
): void {
  const isMotorless = load !== undefined || unit.subject === 'relay';
  const changes =
    Object.keys(motorScale).length > 0 ||
    [wornBrushes, segmentFault, protector, turnsOtherWay].some((given) => given !== undefined);
  if (!isMotorless || !changes) return;
  const instead = load === undefined ? 'unit has none' : `unit has ${load.id} in its place`;
  throw new RangeError(`case ${id} changes a motor, but the ${instead}`);
}

/** Opens and closes a few times, each swing shorter than the one before. */
function drawBounce(dice: Chance): number[] {
  const lengthS = dice.between(...BOUNCE_LENGTH_S);
  const shares = [0.15, 0.4, 0.55, 0.75, 0.85, 1];
  return shares.map((share) => share * lengthS * dice.between(0.97, 1.03)).sort((a, b) => a - b);
}

function number(value: Toleranced, dice: Chance): number {
  return drawValue(value, dice) as number;
}

/** A toleranced number becomes a number; anything else stays. */
function drawValue(value: unknown, dice: Chance, draw?: number): unknown {
  if (typeof value !== 'object' || value === null || !('tolerancePercent' in value)) return value;
  const { nominal, tolerancePercent } = value as { nominal: number; tolerancePercent: number };
  return nominal * (1 + (draw ?? dice.withinTolerance()) * (tolerancePercent / 100));
}

function drawAll(value: unknown, dice: Chance): unknown {
  return mapValues(value as Record<string, unknown>, (_, inner) => drawValue(inner, dice));
}

function mapValues(
  profile: object,
  change: (key: string, value: unknown) => unknown,
): Record<string, unknown> {
  return Object.fromEntries(Object.entries(profile).map(([key, value]) => [key, change(key, value)]));
}
