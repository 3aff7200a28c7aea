// What every part of a style carries while the motor runs, starts, is held, brakes and is reversed without a pause: read
// off its own netlist, thrown from every place and both ways. Knows no style by name.

import type { Position } from '../capture/index.js';
import {
  buildUnitCircuit,
  type ControlSetting,
  midTravel,
  type Simulation,
  simulate,
  type UnitCircuit,
  type UnitCircuitInput,
} from '../circuit/index.js';
import { ammetersOf, type Carrier } from './ammeters.js';
import { heldAt, heldBehindA, motorRunningAt } from './motor-at.js';

/** What all motors on the switch draw together. */
export interface MotorCurrents {
  runningA: number;
  /** Taken from the circuit where nobody tells it. */
  startA?: number | undefined;
  heldA: number;
  /**
   * So many motors draw this, of which nobody measured or declared the held current: where supply and wires do not let so
   * much through, what as many of the motor draw that one alone would be.
   */
  motors?: number | undefined;
}

export interface Carried {
  runningA: number;
  startA: number;
  heldA: number;
  /** While the released motor pushes its own current backwards; 0 where it coasts. */
  brakeA: number;
  /** Thrown over without a pause. */
  reversalA: number;
}

export interface CarriedBy {
  carrier: Carrier;
  carried: Carried;
}

export interface PlannedLoad {
  motor: { runningA: number; startA: number; heldA: number };
  /** Contacts of one part each by themselves, in the order of the style. */
  parts: readonly CarriedBy[];
  /** Of each throw, the wires through which the motor's current runs one after the other, by their ids. */
  loops: readonly (readonly string[])[];
}

const THROWS = ['forward', 'reverse'] as const;
const SAMPLE_RATE_HZ = 10_000;
/** Relays have pulled in, current has risen. */
const LEVEL_S = 0.25;
/** Settled on what it moves (50 to 200 ms, common practice). */
const RUN_S = 0.4;
const AFTER_S = 0.3;
const THROW_AT_S = 0.02;
/** A wire carries the motor if at least this part of its current is in it: coils take some hundredths. */
export const MOTOR_PART = 0.5;
/** Motor current below which nothing brakes. */
const LEAST_BRAKE_A = 0.05;

interface Solving {
  input: UnitCircuitInput;
  carriers: readonly Carrier[];
  throws: readonly { rest: ControlSetting[]; to: ControlSetting[]; back?: ControlSetting[]; sign: 1 | -1 }[];
}

/**
 * @param input the motor at its profile's numbers; supply and ambient as they will be
 * @throws RangeError when the circuit cannot let so much current through
 */
export function carriedBy(input: UnitCircuitInput, currents: MotorCurrents): PlannedLoad {
  const { carriers, fitted } = ammetersOf(input.style);
  const { load: _load, ...onMotor } = input;
  const fit = { ...onMotor, faults: [...(input.faults ?? []), fitted] };
  const solving: Solving = { input: fit, carriers, throws: throwsOf(buildUnitCircuit(fit), input) };
  const levels = (currentA: number): number[][] =>
    solving.throws.map((each) => atLevel(solving, each, currentA));
  const level = (currentA: number): number[] => mostOf(levels(currentA));
  const [first] = solving.throws;
  if (first === undefined) throw new RangeError(`carriedBy: style ${input.style.id} moves no motor`);
  const motorHeldA = Math.min(...solving.throws.map((each) => heldWithin(fit, each, currents)));
  const heldA = level(motorHeldA);
  const { resistanceOhm } = heldAt(fit, { ...first, currentA: motorHeldA }).motor;
  const running = motorRunningAt(fit, { runningA: currents.runningA, resistanceOhm });
  const moving = solving.throws.map((each) => whileMoving({ ...solving, input: running }, each));
  const peakA = currents.startA ?? Math.max(...moving.map((each) => each.peakA));
  const startA = motorHeldA < currents.heldA ? Math.min(peakA, motorHeldA) : peakA;
  const at = (values: readonly number[], i: number): number => values[i] ?? 0;
  const runs = levels(currents.runningA);
  const rows = {
    runningA: mostOf(runs),
    startA: level(startA),
    heldA,
    brakeA: mostOf(moving.map(({ brakeA }) => brakeA)),
    reversalA: mostOf(moving.map(({ reversalA }) => reversalA)),
  };
  return {
    motor: { runningA: currents.runningA, startA, heldA: motorHeldA },
    loops: runs.map((values) =>
      carriers.flatMap(({ kind, part }, i) =>
        kind === 'wire' && at(values, i) >= MOTOR_PART * currents.runningA ? [part] : [],
      ),
    ),
    parts: carriers.map((carrier, i) => ({
      carrier,
      carried: {
        runningA: at(rows.runningA, i),
        startA: at(rows.startA, i),
        heldA: at(rows.heldA, i),
        brakeA: at(rows.brakeA, i),
        reversalA: at(rows.reversalA, i),
      },
    })),
  };
}

/** Whether so much gets through the motor in every throw; with wires too thin or too long for it, it does not. */
export function letsThrough(input: UnitCircuitInput, currentA: number): boolean {
  const { load: _load, ...onMotor } = input;
  try {
    for (const { rest, to } of throwsOf(buildUnitCircuit(onMotor), input))
      heldAt(onMotor, { rest, to, currentA });
    return true;
  } catch (error) {
    if (error instanceof RangeError) return false;
    throw error;
  }
}

/** Held, or as much of that as gets through. @throws RangeError for a current that somebody measured or declared and that cannot be */
function heldWithin(input: UnitCircuitInput, { rest, to }: Throw, { heldA, motors }: MotorCurrents): number {
  try {
    heldAt(input, { rest, to, currentA: heldA });
    return heldA;
  } catch (error) {
    if (motors === undefined || !(error instanceof RangeError)) throw error;
    const one = oneHeldOhm(input, { rest, to, currentA: heldA / motors });
    return heldBehindA(input, { rest, to, terminalOhm: one / motors });
  }
}

/** Of one motor that is held at this current in this circuit; where not even that gets through, on the bare supply. */
function oneHeldOhm(input: UnitCircuitInput, { rest, to, currentA }: Parameters<typeof heldAt>[1]): number {
  try {
    return heldAt(input, { rest, to, currentA }).motor.resistanceOhm;
  } catch (error) {
    if (!(error instanceof RangeError)) throw error;
    return (input.supply.voltageV - input.motor.brushDropV) / currentA;
  }
}

/** Every place to throw from and both ways, as far as the motor moves then. */
function throwsOf({ controls }: UnitCircuit, { style }: UnitCircuitInput): Solving['throws'] {
  const places: Record<Position, ControlSetting[]>[] = [
    controls.position,
    ...Object.values(controls.stations),
  ];
  return places.flatMap((place) =>
    THROWS.filter((way) => style.polarity[way] !== 'none').map((way) => {
      const other = way === 'forward' ? 'reverse' : 'forward';
      const full = controls.feed.full;
      return {
        rest: [...full, ...controls.position.rest, ...place.rest],
        to: place[way],
        ...(style.polarity[other] === 'none' ? {} : { back: place[other] }),
        sign: style.polarity[way] === 'positive' ? (1 as const) : (-1 as const),
      };
    }),
  );
}

type Throw = Solving['throws'][number];

function atLevel({ input, carriers }: Solving, { rest, to }: Throw, currentA: number): number[] {
  const held = heldAt(input, { rest, to, currentA });
  const run = solve(
    held,
    carriers,
    [
      { atS: 0, settings: rest },
      { atS: THROW_AT_S, settings: to },
    ],
    LEVEL_S,
  );
  return carriers.map((_, i) => Math.abs(run.values[`${i}`]?.at(-1) ?? 0));
}

interface Moving {
  /** Of the motor, at the start. */
  peakA: number;
  brakeA: number[];
  reversalA: number[];
}

function whileMoving({ input, carriers }: Solving, { rest, to, back, sign }: Throw): Moving {
  const running = { ...input, startAngleRad: midTravel(input.style, sign) };
  const throwing = [
    { atS: 0, settings: rest },
    { atS: THROW_AT_S, settings: to },
  ];
  const untilS = THROW_AT_S + RUN_S + AFTER_S;
  const from = Math.round((THROW_AT_S + RUN_S) * SAMPLE_RATE_HZ);
  const released = solve(
    running,
    carriers,
    [...throwing, { atS: THROW_AT_S + RUN_S, settings: rest }],
    untilS,
  );
  const motorA = released.values.motor ?? new Float64Array();
  const brakes = (k: number): boolean => k >= from && sign * (motorA[k] ?? 0) < -LEAST_BRAKE_A;
  const reversed =
    back && solve(running, carriers, [...throwing, { atS: THROW_AT_S + RUN_S, settings: back }], untilS);
  return {
    peakA: most(motorA, (k) => k < from),
    brakeA: carriers.map((_, i) => most(released.values[`${i}`], brakes)),
    reversalA: carriers.map((_, i) => (reversed ? most(reversed.values[`${i}`], (k) => k >= from) : 0)),
  };
}

function solve(
  input: UnitCircuitInput,
  carriers: readonly Carrier[],
  schedule: { atS: number; settings: ControlSetting[] }[],
  untilS: number,
): Simulation {
  const { netlist, motorId } = buildUnitCircuit(input);
  return simulate({
    netlist,
    schedule,
    untilS,
    sampleRateHz: SAMPLE_RATE_HZ,
    probes: {
      motor: { kind: 'current', element: motorId },
      ...Object.fromEntries(carriers.map(({ probe }, i) => [`${i}`, probe])),
    },
    options: { keepsEnergy: false },
  });
}

function most(values: Float64Array | undefined, counts: (k: number) => boolean): number {
  let largest = 0;
  values?.forEach((value, k) => {
    if (counts(k) && Math.abs(value) > largest) largest = Math.abs(value);
  });
  return largest;
}

/** Of each column, the largest. */
const mostOf = (rows: readonly (readonly number[])[]): number[] =>
  (rows[0] ?? []).map((_, i) => Math.max(...rows.map((row) => row[i] ?? 0)));
