// Captures written down from closed forms: the linear motor's step response and its brake and coast, no solver involved.
// V = R i + L di/dt + ke w ; J dw/dt = kt i - b w  (Control Tutorials for MATLAB and Simulink, DC Motor Speed).

import type { Capture, Channel, Position } from '../../host/capture/index.js';
import { loadRig, type RigProfile } from '../../host/profile/index.js';

export interface LinearMotor {
  resistanceOhm: number;
  inductanceH: number;
  backEmfVsPerRad: number;
  torqueNmPerA: number;
  inertiaKgM2: number;
  viscousNms: number;
}

/**
 * Catalogue figures of a 12 V motor (RS775-125: stall 18 A, 0.28 Nm, free 1.6 A at 5800 rpm; wpilib DCMotor):
 * R = 0.666667 Ohm, kt = 0.0155556, ke = 0.018001, and b = kt I0 / w0. L and J are assumed, of the right order.
 */
export const CATALOGUE_MOTOR: LinearMotor = {
  resistanceOhm: 0.666667,
  inductanceH: 0.8e-3,
  backEmfVsPerRad: 0.018001,
  torqueNmPerA: 0.0155556,
  inertiaKgM2: 1.2e-5,
  viscousNms: (0.0155556 * 1.6) / ((5800 * 2 * Math.PI) / 60),
};

/** State (current, speed) at time t from a start state under constant voltage V and loop resistance R. */
export function motorState(
  m: LinearMotor,
  loopOhm: number,
  voltageV: number,
  start: { i: number; w: number },
  t: number,
): { i: number; w: number } {
  const { inductanceH: L, backEmfVsPerRad: ke, torqueNmPerA: kt, inertiaKgM2: J, viscousNms: b } = m;
  const det = loopOhm * b + kt * ke;
  const iEnd = (voltageV * b) / det;
  const wEnd = (voltageV * kt) / det;
  const sum = loopOhm / L + b / J;
  const product = det / (L * J);
  const root = Math.sqrt(sum * sum - 4 * product);
  if (!(root > 0)) throw new Error('closed form written for real poles only');
  const p = (-sum - root) / 2;
  const q = product / p;
  const di = (-loopOhm * (start.i - iEnd) - ke * (start.w - wEnd)) / L;
  const dw = (kt * (start.i - iEnd) - b * (start.w - wEnd)) / J;
  const blend = (x0: number, v0: number): number =>
    ((v0 - q * x0) * Math.exp(p * t) - (v0 - p * x0) * Math.exp(q * t)) / (p - q);
  return { i: iEnd + blend(start.i - iEnd, di), w: wEnd + blend(start.w - wEnd, dw) };
}

export interface BenchShape {
  motor: LinearMotor;
  supplyV: number;
  feedOhm: number;
  groundOhm: number;
  release: 'coast' | 'brake-ground' | 'brake-high';
  sampleRateHz: number;
  /** Command to contact, and command to break. */
  delayS: number;
  /** Contact open stretches after first closing, seconds from contact. */
  bounce?: [number, number][];
  spikeA?: number;
  exchanged?: boolean;
  holdS?: number;
  coilA?: number;
}

const REST_S = 0.5;

/** Rest, forward, rest, reverse, rest, from closed forms; contact resistance of the brake loop is the ground side twice. */
export function closedFormCapture(shape: BenchShape): Capture {
  const hold = shape.holdS ?? 0.8;
  const edges: [Position, number][] = [
    ['rest', REST_S],
    ['forward', hold],
    ['rest', REST_S],
    ['reverse', hold],
    ['rest', REST_S],
  ];
  const total = edges.reduce((sum, [, s]) => sum + s, 0);
  const n = Math.round(total * shape.sampleRateHz);
  const timeS = Float64Array.from({ length: n }, (_, k) => k / shape.sampleRateHz);
  const channels = Object.fromEntries(
    ['feedCurrentA', 'motorCurrentA', 'coilCurrentA', 'leadAVoltageV', 'leadBVoltageV', 'supplyVoltageV'].map(
      (name) => [name, new Float64Array(n)],
    ),
  ) as Record<Channel, Float64Array>;
  const position: Position[] = [];
  const loop = shape.motor.resistanceOhm + shape.feedOhm + shape.groundOhm;
  let commandS = 0;
  let running = { i: 0, w: 0 };
  let k = 0;
  edges.forEach(([commanded, lengthS], step) => {
    const endS = commandS + lengthS;
    const way = (commanded === 'reverse' ? -1 : 1) * (shape.exchanged ? -1 : 1);
    const before = edges[step - 1]?.[0];
    const beforeWay = (before === 'reverse' ? -1 : 1) * (shape.exchanged ? -1 : 1);
    for (; k < n && timeS[k]! < endS - 1e-9; k++) {
      position.push(commanded);
      const t = timeS[k]! - commandS - shape.delayS;
      let i = 0;
      let a = 0;
      let b = 0;
      const high = shape.release === 'brake-high' ? shape.supplyV : 0;
      const drive = (state: { i: number; w: number }, sign: number): void => {
        i = sign * state.i;
        const top = shape.supplyV - state.i * shape.feedOhm;
        const bottom = state.i * shape.groundOhm;
        a = sign > 0 ? top : bottom;
        b = sign > 0 ? bottom : top;
      };
      if (commanded !== 'rest' && t >= 0) {
        const open = shape.bounce?.some(([from, to]) => t >= from && t < to) ?? false;
        const lastOpen = Math.max(0, ...(shape.bounce ?? []).map(([, to]) => to).filter((to) => t >= to));
        if (!open) {
          const state = motorState(shape.motor, loop, shape.supplyV, { i: 0, w: 0 }, t - lastOpen);
          if (shape.spikeA && t < 0.001) state.i += shape.spikeA * Math.exp(-t / 0.0003);
          drive(state, way);
          running = motorState(shape.motor, loop, shape.supplyV, { i: 0, w: 0 }, t - lastOpen);
        }
      } else if (commanded === 'rest' && step > 0 && t < 0) {
        running = motorState(
          shape.motor,
          loop,
          shape.supplyV,
          { i: 0, w: 0 },
          hold - shape.delayS + t + shape.delayS,
        );
        drive(running, beforeWay);
      } else if (commanded === 'rest' && step > 0) {
        if (shape.release === 'coast') {
          // Ten times the viscous drag: 10 % of speed after about 70 ms, as a geared motor coasts.
          const w = running.w * Math.exp((-shape.motor.viscousNms * 10 * t) / shape.motor.inertiaKgM2);
          const emf = beforeWay * shape.motor.backEmfVsPerRad * w;
          a = emf / 2;
          b = -emf / 2;
        } else {
          const brake = shape.motor.resistanceOhm + 2 * shape.groundOhm;
          const state = motorState(shape.motor, brake, 0, { i: 0, w: running.w }, t);
          i = beforeWay * state.i;
          a = high - i * shape.groundOhm;
          b = high + i * shape.groundOhm;
        }
      } else if (commanded === 'rest') {
        a = high;
        b = high;
      } else if (shape.release !== 'coast') {
        a = high;
        b = high;
      }
      channels.motorCurrentA[k] = i;
      channels.feedCurrentA[k] = commanded !== 'rest' || t < 0 ? Math.abs(i) : 0;
      channels.coilCurrentA[k] = commanded === 'rest' ? 0 : (shape.coilA ?? 0);
      channels.leadAVoltageV[k] = a;
      channels.leadBVoltageV[k] = b;
      channels.supplyVoltageV[k] = shape.supplyV;
    }
    commandS = endS;
  });
  return { timeS, position, channels, gaps: [], sampleRateHz: shape.sampleRateHz, notes: [] };
}

/** Small fast generator with a seed (mulberry32), and a normal deviate by Box and Muller. */
export function seeded(seed: number): { uniform: () => number; normal: () => number } {
  let state = seed >>> 0;
  const uniform = (): number => {
    state = (state + 0x6d2b79f5) >>> 0;
    let t = state;
    t = Math.imul(t ^ (t >>> 15), t | 1);
    t ^= t + Math.imul(t ^ (t >>> 7), t | 61);
    return ((t ^ (t >>> 14)) >>> 0) / 4294967296;
  };
  return {
    uniform,
    normal: () => Math.sqrt(-2 * Math.log(1 - uniform())) * Math.cos(2 * Math.PI * uniform()),
  };
}

const scale = (atZeroCount: number, perCount: number, offsetUncertainty: number) => ({
  atZeroCount,
  perCount,
  gainUncertaintyPercent: 0.5,
  offsetUncertainty,
});

/** Scales of the reference rig, written out again. */
export const RIG: RigProfile = {
  id: 'test-rig',
  title: 'Rig of the tests',
  kind: 'rig',
  scales: {
    ...loadRig('reference-rig').scales,
    feedCurrentA: scale(-8, 0.078125, 0.03),
    motorCurrentA: scale(-40, 0.078125, 0.03),
    coilCurrentA: scale(0, 0.0009765625, 0.0005),
    leadAVoltageV: scale(-10, 0.029296875, 0.01),
    leadBVoltageV: scale(-10, 0.029296875, 0.01),
    supplyVoltageV: scale(0, 0.01953125, 0.01),
  },
  adcBits: 10,
  supply: { voltageV: 13, sourceResistanceOhm: 0.04 },
  feedShuntOhm: 0.005,
  motorShuntOhm: 0.005,
  feedContactOhm: 0.005,
  limitedFeedOhm: 12,
  leadLoadOhm: 22000,
  leadClampV: 30,
  deadTimeS: 0.3,
  longestHoldS: 5,
  trip: { motorCurrentA: 38, feedCurrentA: 60, samples: 10 },
};

/** Adds noise (one deviation given in counts) and rounds to counts, as a 10-bit converter would. */
export function throughConverter(
  capture: Capture,
  seed: number,
  noiseCounts = 0.7,
  rig: RigProfile = RIG,
): Capture {
  const { normal } = seeded(seed);
  const channels: Capture['channels'] = {};
  for (const [name, values] of Object.entries(capture.channels) as [Channel, Float64Array][]) {
    const { atZeroCount, perCount } = rig.scales[name];
    channels[name] = values.map((value) => {
      if (Number.isNaN(value)) return value;
      const count = Math.round((value - atZeroCount) / perCount + noiseCounts * normal());
      return atZeroCount + perCount * Math.min(2 ** rig.adcBits - 1, Math.max(0, count));
    });
  }
  return { ...capture, channels };
}
