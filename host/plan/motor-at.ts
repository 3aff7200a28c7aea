// The profile's motor moved to the currents that were measured or declared: held at exactly that current in this circuit,
// or running at it.

import {
  buildUnitCircuit,
  type ControlSetting,
  motorAt,
  simulate,
  type UnitCircuitInput,
} from '../circuit/index.js';

/** Well behind the relays' operate time and the rise of the current. */
const SETTLED_S = 0.25;
const THROW_AT_S = 0.02;
/** A loop of resistances closes in one step; brush drop and sagging supply take a few more. */
const MOST_STEPS = 12;
const CLOSE = 1e-4;
const LEAST_OHM = 1e-3;

interface Levels {
  rest: ControlSetting[];
  to: ControlSetting[];
  currentA: number;
}

/** Rotor held, at `currentA` once thrown. @throws RangeError where even a motor of no resistance draws less */
export function heldAt(input: UnitCircuitInput, { rest, to, currentA }: Levels): UnitCircuitInput {
  const { ripple: _ripple, suppressionCapacitorF: _capacitor, ...motor } = input.motor;
  let resistanceOhm = Math.max(LEAST_OHM, input.supply.voltageV / currentA);
  for (let step = 0; step < MOST_STEPS; step++) {
    const held = { ...input, rotorHeld: true, motor: { ...motor, resistanceOhm } };
    const drawnA = drawnBy(held, rest, to);
    if (Math.abs(drawnA - currentA) <= CLOSE * currentA) return held;
    if (drawnA < currentA && resistanceOhm <= LEAST_OHM) break;
    const volts = input.supply.voltageV - input.motor.brushDropV;
    resistanceOhm = Math.max(LEAST_OHM, resistanceOhm + volts / currentA - volts / Math.max(drawnA, 1e-3));
  }
  throw new RangeError(
    `this circuit does not let ${Number(currentA.toPrecision(3))} A through the motor: check the currents, the wire and --supply`,
  );
}

/** What a held motor of this resistance draws from behind supply, wires and contacts; all else of it as in `input`. */
export function heldBehindA(
  input: UnitCircuitInput,
  { rest, to, terminalOhm }: Pick<Levels, 'rest' | 'to'> & { terminalOhm: number },
): number {
  const { ripple: _ripple, suppressionCapacitorF: _capacitor, ...motor } = input.motor;
  const held = { ...input, rotorHeld: true, motor: { ...motor, resistanceOhm: terminalOhm } };
  return drawnBy(held, rest, to);
}

function drawnBy(held: UnitCircuitInput, rest: ControlSetting[], to: ControlSetting[]): number {
  const { netlist, motorId } = buildUnitCircuit(held);
  const run = simulate({
    netlist,
    schedule: [
      { atS: 0, settings: rest },
      { atS: THROW_AT_S, settings: to },
    ],
    untilS: SETTLED_S,
    sampleRateHz: 1 / SETTLED_S,
    probes: { motor: { kind: 'current', element: motorId } },
    options: { keepsEnergy: false },
  });
  return Math.abs(run.values.motor?.at(-1) ?? 0);
}

/**
 * Draws `runningA` free, as all of its friction is constant and no supply moves that; `resistanceOhm` is that of the
 * motor that is held at the wanted current. Several motors in parallel are one of less resistance and more inertia.
 */
export function motorRunningAt(
  input: UnitCircuitInput,
  { runningA, resistanceOhm }: { runningA: number; resistanceOhm: number },
): UnitCircuitInput {
  const { ripple: _ripple, reverseFrictionRatio: _ratio, ...motor } = input.motor;
  const { torqueNmPerA } = motorAt(motor, input.temperatureC);
  const ratio = resistanceOhm / motor.resistanceOhm;
  return {
    ...input,
    motor: {
      ...motor,
      resistanceOhm,
      inductanceH: motor.inductanceH * ratio,
      // The same run-up: mechanical time constant J R / (ke kt).
      inertiaKgM2: motor.inertiaKgM2 / ratio,
      viscousNms: 0,
      coulombNm: torqueNmPerA * runningA,
    },
  };
}
