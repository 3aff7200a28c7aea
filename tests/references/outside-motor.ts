// A motor on a switch, integrated here by small steps and by nothing of host/: what a stranger's instrument would have
// written. The equations are the textbook ones of a permanent-magnet motor (armature: L di/dt = v - R i - ke w; rotor:
// J dw/dt = kt i - b w - friction); the numbers are those of a window motor off its regulator (common practice, no source).

import type { Capture, Channel } from '../../host/capture/index.js';
import { seededRandom } from '../../host/circuit/index.js';

export const WINDOW_MOTOR = {
  ...{ resistanceOhm: 0.72, inductanceH: 0.0011, backEmfVsPerRad: 0.0295, torqueNmPerA: 0.0287 },
  ...{ inertiaKgM2: 2.7e-5, viscousNms: 1.5e-4, frictionNm: 0.051, brushV: 0.3, segments: 8, ripple: 0.038 },
};

export interface OutsideRun {
  /** Contact closes, opens, and which way lead A stands. */
  throws: readonly (readonly [fromS: number, toS: number, way: 1 | -1])[];
  lasts: number;
  rateHz?: number;
  motor?: Partial<typeof WINDOW_MOTOR>;
  /** Open-circuit voltage of the supply; 13 V unless told. */
  supplyV?: (timeS: number) => number;
  sourceOhm?: number;
  /** From the supply to the driven lead, and from the other one to ground; half the wires each unless told. */
  feedOhm?: number;
  groundOhm?: number;
  /** Load on the shaft beside its friction. */
  loadNm?: (timeS: number) => number;
  /** Whether the feed is on, of a chopper. */
  isOn?: (timeS: number) => boolean;
  /** Armature on itself when released; else both leads hang free. */
  brakes?: boolean;
}

export interface Solved {
  timeS: Float64Array;
  channels: Record<'motorCurrentA' | 'leadAVoltageV' | 'leadBVoltageV' | 'supplyVoltageV', Float64Array>;
}

const STEPS = 10;
const HALF_WIRE_OHM = 0.015;
/** A switch's arc and its clamp. */
const CLAMP_V = 30;
const DIODE_V = 0.8;

/** Exact to the step of the integration, free of noise. */
export function outsideRun(run: OutsideRun): Solved {
  const { throws, lasts, rateHz = 5000, sourceOhm = 0.04, brakes = false } = run;
  const { feedOhm = HALF_WIRE_OHM, groundOhm = HALF_WIRE_OHM } = run;
  const motor = { ...WINDOW_MOTOR, ...run.motor };
  const count = Math.round(lasts * rateHz);
  const timeS = Float64Array.from({ length: count }, (_, k) => k / rateHz);
  const [currentA, leadA, leadB, supply] = [0, 1, 2, 3].map(() => new Float64Array(count)) as [
    Float64Array,
    Float64Array,
    Float64Array,
    Float64Array,
  ];
  const stepS = 1 / rateHz / STEPS;
  let [i, speed, angle] = [0, 0, 0.7];
  const wayAt = (t: number): 1 | -1 | 0 => throws.find(([from, to]) => t >= from && t < to)?.[2] ?? 0;
  for (let k = 0; k < count; k++) {
    let motorV = 0;
    let [isFed, way]: [boolean, 1 | -1 | 0] = [false, 0];
    let openV = 13;
    for (let n = 0; n < STEPS; n++) {
      const t = k / rateHz + n * stepS;
      way = wayAt(t);
      isFed = way !== 0 && (run.isOn?.(t) ?? true);
      openV = run.supplyV?.(t) ?? 13;
      const emf = motor.backEmfVsPerRad * speed * (1 + motor.ripple * Math.cos(motor.segments * angle));
      const ownV = motor.resistanceOhm * i + motor.brushV * Math.tanh(i / 0.2) + emf;
      const outside = sourceOhm + feedOhm + groundOhm;
      if (isFed || (way === 0 && brakes)) {
        const ohm = isFed ? outside : 2 * groundOhm;
        i += ((isFed ? way * openV : 0) - ohm * i - ownV) * (stepS / motor.inductanceH);
        motorV = (isFed ? way * openV : 0) - ohm * i;
      } else {
        const kickV = way === 0 ? CLAMP_V : DIODE_V;
        const next = i + (-Math.sign(i) * kickV - ownV) * (stepS / motor.inductanceH);
        i = next * i > 0 ? next : 0;
        motorV = i === 0 ? emf : -Math.sign(i) * kickV;
      }
      const friction = motor.frictionNm + (run.loadNm?.(t) ?? 0);
      const torque = motor.torqueNmPerA * i - motor.viscousNms * speed;
      if (Math.abs(speed) < 0.5 && Math.abs(torque) < friction) speed *= 0.9;
      else {
        const held = Math.abs(speed) > 0.5 ? friction * Math.tanh(speed) : Math.sign(torque) * friction;
        speed += ((torque - held) * stepS) / motor.inertiaKgM2;
      }
      angle += speed * stepS;
    }
    currentA[k] = i;
    supply[k] = openV - (isFed ? sourceOhm * Math.abs(i) : 0);
    const returnV = isFed ? groundOhm * Math.abs(i) : 0;
    const [high, low] = isFed || way !== 0 ? [Math.abs(motorV) + returnV, returnV] : [0, 0];
    leadA[k] = way === 0 ? motorV / 2 : way > 0 ? high : low;
    leadB[k] = way === 0 ? -motorV / 2 : way > 0 ? low : high;
  }
  return {
    timeS,
    channels: {
      motorCurrentA: currentA,
      leadAVoltageV: leadA,
      leadBVoltageV: leadB,
      supplyVoltageV: supply,
    },
  };
}

export interface Scope {
  seed: number;
  noiseA?: number;
  noiseV?: number;
  /** Step of the converter of the current. */
  countA?: number;
  /** What the clamp adds, by time and true current. */
  errorA?: (timeS: number, currentA: number, sample: number) => number;
}

/** As a scope without positions wrote it, with the channels named. */
export function asSeen(
  { timeS, channels }: Solved,
  names: readonly Channel[],
  { seed, noiseA = 0.02, noiseV = 0.01, countA, errorA }: Scope,
): Capture {
  const random = seededRandom(seed);
  const seen = names.map((name) => {
    const values = channels[name as keyof Solved['channels']];
    const isCurrent = name === 'motorCurrentA';
    const read = values.map((value, k) => {
      const noisy = value + (isCurrent ? noiseA : noiseV) * random.normal();
      const wrong = isCurrent && errorA ? noisy + errorA(timeS[k]!, value, k) : noisy;
      return isCurrent && countA ? countA * Math.round(wrong / countA) : wrong;
    });
    return [name, read] as const;
  });
  return {
    timeS,
    position: Array.from(timeS, () => 'rest' as const),
    positionKnown: false,
    channels: Object.fromEntries(seen),
    gaps: [],
    sampleRateHz: 1 / (timeS[1]! - timeS[0]!),
    notes: [],
    isForeign: true,
  };
}

/** A clamp or input that passes no steady current: a first-order high pass of this time constant. */
export function acCoupled(capture: Capture, tauS: number): Capture {
  const current = capture.channels.motorCurrentA!;
  const keep = tauS / (tauS + capture.timeS[1]! - capture.timeS[0]!);
  const passed = new Float64Array(current.length);
  for (let k = 1; k < current.length; k++)
    passed[k] = keep * (passed[k - 1]! + current[k]! - current[k - 1]!);
  return { ...capture, channels: { ...capture.channels, motorCurrentA: passed } };
}
