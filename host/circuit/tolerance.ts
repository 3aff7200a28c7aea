// From a profile with tolerances to concrete set-ups: the nominal one, and seeded draws. A tolerance is taken as two
// standard deviations of a normal, cut off at three.

import { holdsRotor, type Plain, plainValues, type ResolvedUnit } from '../profile/index.js';
import type { SeededRandom } from './tolerance-random.js';
import type { UnitCircuitInput } from './unit-input.js';

/** Spread of contact resistances that a style states itself, two deviations. Common practice, no source. */
const CONTACT_TOLERANCE = 0.5;
const CUT_OFF = 3;

/** Everything at its nominal value. */
export function nominalInput(unit: ResolvedUnit): UnitCircuitInput {
  const rig = plainValues(unit.rig);
  return {
    style: unit.style,
    motor: plainValues(unit.motor),
    ...(unit.load === undefined ? {} : { load: plainValues(unit.load) }),
    ...(unit.relay === undefined ? {} : { relay: plainValues(unit.relay) }),
    rig,
    wiring: unit.unit.wiring,
    supply: rig.supply,
    temperatureC: unit.unit.temperatureC.nominal,
    ...(holdsRotor(unit.plan) ? { rotorHeld: true } : {}),
    ...(unit.coilFeed === 'limited' ? { coilLimiter: 'in' as const } : {}),
  };
}

/** Without commutation ripple: levels do not need it and it costs most of the solver's steps. */
export function withoutRipple(input: UnitCircuitInput): UnitCircuitInput {
  const { ripple: _ripple, ...motor } = input.motor;
  return { ...input, motor };
}

/** One draw: supply, temperature, motor, each relay of its own, contacts, start angle of the shaft. */
export function drawInput(unit: ResolvedUnit, random: SeededRandom): UnitCircuitInput {
  const rig = drawn(unit.rig, random);
  const { nominal, plusMinus } = unit.unit.temperatureC;
  const temperatureC = nominal + (plusMinus / 2) * cutNormal(random);
  const motor = drawMotor(unit.motor, random);
  const { relay, load } = unit;
  const relays =
    relay === undefined
      ? {}
      : Object.fromEntries(
          unit.style.elements
            .filter(({ kind }) => kind === 'relay')
            .map(({ id }) => [id, drawn(relay, random)]),
        );
  return {
    style: unit.style,
    motor,
    ...(load === undefined ? {} : { load: drawn(load, random) }),
    ...(relay === undefined ? {} : { relay: plainValues(relay), relays }),
    rig,
    wiring: unit.unit.wiring,
    supply: rig.supply,
    temperatureC,
    ...(holdsRotor(unit.plan) ? { rotorHeld: true } : {}),
    contactFactor: 1 + (CONTACT_TOLERANCE / 2) * cutNormal(random),
    startAngleRad: 2 * Math.PI * random.uniform(),
  };
}

/** Both constants of a motor come from one magnet flux: they deviate together. */
function drawMotor(profile: ResolvedUnit['motor'], random: SeededRandom): UnitCircuitInput['motor'] {
  const motor = drawn(profile, random);
  const flux = cutNormal(random);
  const withFlux = (value: typeof profile.backEmfVsPerRad): number =>
    typeof value === 'number' ? value : value.nominal * (1 + (value.tolerancePercent / 200) * flux);
  return {
    ...motor,
    backEmfVsPerRad: withFlux(profile.backEmfVsPerRad),
    torqueNmPerA: withFlux(profile.torqueNmPerA),
  };
}

function drawn<T>(profile: T, random: SeededRandom): Plain<T> {
  return drawValue(profile, random) as Plain<T>;
}

function drawValue(value: unknown, random: SeededRandom): unknown {
  if (Array.isArray(value)) return value.map((each) => drawValue(each, random));
  if (typeof value !== 'object' || value === null) return value;
  if ('nominal' in value && 'tolerancePercent' in value) {
    return Number(value.nominal) * (1 + (Number(value.tolerancePercent) / 200) * cutNormal(random));
  }
  // Key order of the profile's schema, so that the same seed draws the same unit whatever the file's order.
  return Object.fromEntries(Object.entries(value).map(([key, inner]) => [key, drawValue(inner, random)]));
}

function cutNormal(random: SeededRandom): number {
  for (;;) {
    const z = random.normal();
    if (Math.abs(z) <= CUT_OFF) return z;
  }
}
