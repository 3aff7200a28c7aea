// Drawn motors and feeds solved by the SPICE engine, with what the fit's model lacks: iron loss across the inductance,
// friction that sticks at low speed and windage that grows with its square, torque ripple, a lead's inductance, a
// suppression capacitor, a supply that sags and dips. Nothing of host/circuit.

import type { Capture, Position } from '../../host/capture/index.js';
import { seededRandom } from '../../host/circuit/index.js';
import { runSpice } from './circuit-spice/engine.js';

export interface SpiceMotor {
  capture: Capture;
  /** Of the shaft, rad/s, at the capture's samples. */
  speedRadS: Float64Array;
  segments: number;
  truth: {
    resistanceOhm: number;
    inductanceH: number;
    backEmfVsPerRad: number;
    torqueNmPerA: number;
    inertiaKgM2: number;
    brushDropV: number;
    /** Friction torque at the speed that it runs at, over kt. */
    frictionAtRunA: number;
  };
}

export interface SpiceShape {
  leadIn: boolean;
  bothWays: boolean;
  dips: boolean;
  release: 'coast' | 'brake';
}

const RATE_HZ = 5000;

export async function spiceMotor(seed: number, index: number, shape: SpiceShape): Promise<SpiceMotor> {
  const random = seededRandom(seed + 4001 * index);
  const between = (low: number, high: number): number => low + (high - low) * random.uniform();
  const spread = (low: number, high: number): number => low * (high / low) ** random.uniform();
  const R = spread(0.4, 3);
  const L = R * spread(0.0006, 0.002);
  const ke = spread(0.015, 0.05);
  const kt = ke * between(0.92, 1);
  const tauS = between(0.02, 0.06);
  const J = (tauS * ke * kt) / R;
  const supplyV = between(11.5, 14.5);
  const runA = between(0.1, 0.3) * (supplyV / R);
  const runRadS = (0.75 * supplyV) / ke;
  const [coulomb, viscous, windage] = [between(0.3, 0.7), between(0.2, 0.5), between(0, 0.08)];
  const sum = coulomb + viscous + windage;
  const Tc = (coulomb / sum) * runA * kt;
  const b = ((viscous / sum) * runA * kt) / runRadS;
  const c = ((windage / sum) * runA * kt) / runRadS ** 2;
  const stickPart = between(0, 0.2);
  const segments = 2 * Math.floor(between(4, 8));
  const ripple = between(0.5, 1.2) * ((1 - Math.cos(Math.PI / segments)) / 2);
  const ironOhm = R * spread(60, 300);
  const brushV = between(0.2, 0.8);
  const sourceOhm = between(0.02, 0.12);
  const [before, first, rest, second] = [
    shape.leadIn ? 0.3 : 0,
    between(0.5, 0.9),
    0.5,
    shape.bothWays ? between(0.5, 0.9) : 0,
  ];
  const startS = 0.1;
  const edges: [Position, number][] = [
    ['rest', startS],
    ['forward', startS + first],
    ['rest', startS + first + rest],
    ...(second > 0
      ? ([
          ['reverse', startS + first + rest + second],
          ['rest', startS + first + rest + second + rest],
        ] as [Position, number][])
      : []),
  ];
  const untilS = edges.at(-1)![1];
  const dip = shape.dips
    ? { atS: startS + between(0.2, 0.8) * first, lastsS: between(0.02, 0.08), toPart: between(0.6, 0.9) }
    : undefined;
  const sign = { rest: 0, forward: 1, reverse: -1 } as const;
  const steps = (value: (position: Position) => number, edgeS: number): string => {
    const points: [number, number][] = [[0, value('rest')]];
    let fromS = 0;
    for (const [position, toS] of edges) {
      if (fromS > 0) points.push([fromS, points.at(-1)![1]], [fromS + edgeS, value(position)]);
      fromS = toS;
    }
    points.push([untilS, points.at(-1)![1]]);
    return points.map(([t, v]) => `${t.toFixed(7)} ${v}`).join(' ');
  };
  const battery = dip
    ? `PWL(0 ${supplyV} ${dip.atS} ${supplyV} ${dip.atS + 0.003} ${supplyV * dip.toPart} ${dip.atS + dip.lastsS} ${supplyV * dip.toPart} ${dip.atS + dip.lastsS + 0.01} ${supplyV} ${untilS} ${supplyV})`
    : `${supplyV}`;
  const off = shape.release === 'brake' ? 1 : 0;
  const deck = [
    'drawn motor',
    `Vbat bat 0 ${battery}`,
    `Rs bat sup ${sourceOhm}`,
    // Drive: the bridge takes supply current when it drives; the two leads are seen against ground.
    `Vdir dir 0 PWL(${steps((p) => sign[p], 2e-6)})`,
    `Bsup sup 0 I = abs(v(dir)) > 0.5 ? v(dir)*i(Vm) : 0`,
    `Bdrive drive 0 V = v(dir)*v(sup)`,
    `Von on 0 PWL(${steps((p) => (p === 'rest' ? off : 1), 2e-6)})`,
    'S1 drive lead on 0 sw',
    '.model sw SW(Ron=0.01 Roff=1e7 Vt=0.5 Vh=0)',
    'Llead lead t0 2e-6',
    'Rlead t0 ta 0.03',
    'Csup ta 0 47n',
    'Rsup2 ta 0 20k',
    'Vm ta m1 0',
    `Rm m1 m2 ${R}`,
    `Lm m2 m3 ${L}`,
    `Riron m2 m3 ${ironOhm}`,
    `Bbrush m3 m4 V = ${brushV}*tanh(i(Vm)/0.15)`,
    `Bemf m4 0 V = ${ke}*v(w)*(1 + ${ripple}*cos(${segments}*v(th)))`,
    `Btorque 0 w I = ${kt}*i(Vm)*(1 + ${ripple}*cos(${segments}*v(th))) - ${Tc}*tanh(v(w)/1.5)*(1 + ${stickPart}*exp(-abs(v(w))/12)) - ${b}*v(w) - ${c}*v(w)*abs(v(w))`,
    `Cw w 0 ${J}`,
    'Rw w 0 1e9',
    'Bth 0 th I = v(w)',
    'Cth th 0 1',
    'Rth th 0 1e12',
    '.save v(ta) v(sup) i(Vm) v(w)',
    '.options reltol=1e-4 method=gear',
    `.tran 1e-4 ${untilS.toFixed(4)} 0 1e-4 uic`,
    '.end',
  ].join('\n');
  const result = await runSpice(deck);
  const fromS = shape.leadIn ? startS - Math.min(startS, before) : startS + 2.5 / RATE_HZ;
  const count = Math.floor((untilS - fromS) * RATE_HZ) - 1;
  const timeS = Float64Array.from({ length: count }, (_, k) => k / RATE_HZ);
  const read = (name: string): Float64Array => resampled(result.timeS, result.column(name), timeS, fromS);
  const [across, currentA, speedRadS, supply] = [read('v(ta)'), read('i(vm)'), read('v(w)'), read('v(sup)')];
  const positionAt = (t: number): Position => edges.find(([, toS]) => t + fromS < toS)?.[0] ?? 'rest';
  const endS = startS + first - fromS;
  const at = Math.round((endS - 0.01) * RATE_HZ);
  const w = speedRadS[at]!;
  return {
    capture: {
      timeS,
      position: Array.from(timeS, positionAt),
      channels: {
        motorCurrentA: currentA,
        leadAVoltageV: across.map((value) => Math.max(0, value)),
        leadBVoltageV: across.map((value) => Math.max(0, -value)),
        supplyVoltageV: supply,
      },
      gaps: [],
      sampleRateHz: RATE_HZ,
      notes: [],
    },
    speedRadS,
    segments,
    truth: {
      resistanceOhm: R,
      inductanceH: L,
      backEmfVsPerRad: ke,
      torqueNmPerA: kt,
      inertiaKgM2: J,
      brushDropV: brushV,
      frictionAtRunA: (Tc + b * w + c * w * w) / kt,
    },
  };
}

function resampled(timeS: Float64Array, values: Float64Array, at: Float64Array, fromS: number): Float64Array {
  let k = 0;
  return at.map((t) => {
    while (k + 2 < timeS.length && timeS[k + 1]! < t + fromS) k++;
    const part = (t + fromS - timeS[k]!) / (timeS[k + 1]! - timeS[k]!);
    return values[k]! + Math.min(1, Math.max(0, part)) * (values[k + 1]! - values[k]!);
  });
}
