// Random motors run on the circuit model and read through a rig with noise, rounding, gain, offset and clock errors of
// the sizes that its profile states: what a motor fit has to get back.

import type { Capture, Channel } from '../../host/capture/index.js';
import { drawInput, type SeededRandom, seededRandom, simulatePlan } from '../../host/circuit/index.js';
import type { RigProfile } from '../../host/profile/index.js';
import { plannedUnit } from '../profile/planned-unit.js';

const UNITS = ['roof-vent-switch', 'seat-slide-relays', 'entry-step-relays', 'window-lift-switch'];
/** One deviation of the noise on every conversion, in counts; from the virtual rig's order of size, no source. */
const NOISE_COUNTS = 0.7;
/** A ceramic resonator: half a per cent either way (value from memory). */
const CLOCK_ERROR = 0.005;
const DROP_SPREAD_V = 0.15;
const TEMPERATURE_SPREAD_C = 3;
const RATIO_SPREAD = 0.01;

export interface RandomMotor {
  unit: string;
  rig: RigProfile;
  capture: Capture;
  segments: number | undefined;
  /** What the fit is told, each off by what it is said to be good to. */
  toldTemperatureC: number;
  toldDropV: number;
  toldTorqueRatio: number;
  /** Names as in the fit's model. */
  truth: Record<string, number>;
}

/** The n-th motor of a seed: one of four profiles, every value drawn widely around it. */
export function randomMotor(seed: number, n: number): RandomMotor {
  const random = seededRandom(1000 * seed + n);
  const name = UNITS[n % UNITS.length]!;
  const unit = plannedUnit(name);
  const drawn = drawInput(unit, random);
  const within = (part: number): number => 1 + part * (2 * random.uniform() - 1);
  const toldDropV = unit.motor.brushDropV;
  const segments = n % 8 < 4 ? [8, 10, 12][Math.floor(3 * random.uniform())]! : undefined;
  const motor = {
    ...drawn.motor,
    resistanceOhm: drawn.motor.resistanceOhm * within(0.2),
    inductanceH: drawn.motor.inductanceH * within(0.3),
    inertiaKgM2: drawn.motor.inertiaKgM2 * within(0.3),
    viscousNms: drawn.motor.viscousNms * within(0.3),
    coulombNm: drawn.motor.coulombNm * within(0.3),
    brushDropV: Math.max(0.02, toldDropV + DROP_SPREAD_V * random.normal()),
    ...(segments === undefined ? {} : { ripple: { segments, amplitude: 0.01 + 0.02 * random.uniform() } }),
  };
  const input = { ...drawn, motor };
  const ideal = simulatePlan(input, unit.plan);
  const { temperatureC } = input;
  // Copper 0.00393/K from 20 C (IEC 60028), ferrite -0.2 %/K from 25 C (value from memory).
  const resistanceOhm = (motor.resistanceOhm * (1 + 0.00393 * (temperatureC - 20))) / (1 + 0.00393 * 5);
  const flux = 1 - 0.002 * (temperatureC - 25);
  const ke = motor.backEmfVsPerRad * flux;
  const kt = motor.torqueNmPerA * flux;
  return {
    unit: name,
    // Told what is drawn: half a per cent either way as a rectangle (GUM 4.3.7).
    rig: { ...unit.rig, clockUncertaintyPercent: (100 * CLOCK_ERROR) / Math.sqrt(3) },
    capture: readThrough(ideal, unit.rig, random),
    segments,
    toldTemperatureC: temperatureC + TEMPERATURE_SPREAD_C * random.normal(),
    toldDropV,
    toldTorqueRatio: (kt / ke) * (1 + RATIO_SPREAD * random.normal()),
    truth: {
      resistanceOhm,
      resistanceAt25COhm: motor.resistanceOhm,
      inductanceH: motor.inductanceH,
      electricalTimeConstantS: motor.inductanceH / resistanceOhm,
      inertiaAsCapacitanceF: motor.inertiaKgM2 / (ke * kt),
      mechanicalTimeConstantS: (resistanceOhm * motor.inertiaKgM2) / (ke * kt),
      coulombCurrentA: motor.coulombNm / kt,
      viscousConductanceS: motor.viscousNms / (ke * kt),
      brushDropV: motor.brushDropV,
      backEmfVsPerRad: ke,
      backEmfAt25CVsPerRad: motor.backEmfVsPerRad,
      inertiaKgM2: motor.inertiaKgM2,
      viscousNms: motor.viscousNms,
      coulombNm: motor.coulombNm,
    },
  };
}

/** Reads an ideal capture through a rig's converter. */
export function readThrough(ideal: Capture, rig: RigProfile, random: SeededRandom): Capture {
  const channels: Capture['channels'] = {};
  for (const [channel, values] of Object.entries(ideal.channels) as [Channel, Float64Array][]) {
    const { atZeroCount, perCount, gainUncertaintyPercent, offsetUncertainty } = rig.scales[channel];
    const gain = 1 + (gainUncertaintyPercent / 100) * random.normal();
    const offset = offsetUncertainty * random.normal();
    channels[channel] = values.map((value) => {
      const count = (value * gain + offset - atZeroCount) / perCount + NOISE_COUNTS * random.normal();
      return atZeroCount + perCount * Math.min(2 ** rig.adcBits - 1, Math.max(0, Math.round(count)));
    });
  }
  const clock = 1 + CLOCK_ERROR * (2 * random.uniform() - 1);
  return { ...ideal, channels, timeS: ideal.timeS.map((timeS) => timeS * clock) };
}
