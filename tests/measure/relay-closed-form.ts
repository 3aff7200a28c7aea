// Captures of a relay from closed forms: coil current by Kirchhoff's laws, contacts at instants that are given. Nothing
// of the program's own circuit model.

import type { Capture, Position } from '../../host/capture/index.js';
import { seeded } from './closed-form.js';

export interface CoilTruth {
  supplyV: number;
  windingOhm: number;
  inductanceH: number;
  /** Across the coil; none when absent. */
  acrossOhm?: number;
  /** In series with the coil: always, and besides when the test current flows. */
  pathOhm: number;
  testOhm: number;
}

/** Current into the terminals `t` seconds after switching on through `seriesOhm` (first-order RL circuit). */
export function coilCurrentA(coil: CoilTruth, seriesOhm: number, t: number): number {
  const { supplyV, windingOhm, inductanceH, acrossOhm = Number.POSITIVE_INFINITY } = coil;
  if (t < 0) return 0;
  const beside = (a: number, b: number): number => 1 / (1 / a + 1 / b);
  const start = supplyV / (seriesOhm + acrossOhm);
  const end = supplyV / (seriesOhm + beside(windingOhm, acrossOhm));
  const tau = inductanceH / (windingOhm + beside(seriesOhm, acrossOhm));
  return end - (end - start) * Math.exp(-t / tau);
}

export interface ContactTruth {
  /** Instants from the coil's edge at which a contact holds 30 to ground or lets it go, in turn, beginning with letting go. */
  operateS: readonly number[];
  releaseS: readonly number[];
  makeOhm: number;
  breakOhm: number;
  loadOhm: number;
  /** In the common way to ground, and in the branch of 87 beside. */
  groundOhm: number;
  branchOhm: number;
}

export interface RunOptions {
  rateHz: number;
  cycles: number;
  seed: number;
  /** Of 10-bit counts: step and noise by channel kind; 0 leaves the reading exact. */
  leadStepV?: number;
  leadNoiseV?: number;
  /** Gain errors of the two lead dividers and their offsets. */
  leadGain?: readonly [number, number];
  leadOffsetV?: readonly [number, number];
  coilNoiseA?: number;
  /** Conducts with plus on 85. */
  diode?: { forwardV: number };
}

export const CONTACTS: ContactTruth = {
  operateS: [0.0051, 0.0059],
  releaseS: [0.0034, 0.0043],
  makeOhm: 0.003,
  breakOhm: 0.0045,
  loadOhm: 4.7,
  groundOhm: 0.004,
  branchOhm: 0.005,
};

const ON_S = 0.3;
const OFF_S = 0.4;
const TEST_S = 0.1;

/** Test current three times, load on, cycles, test current with the clips exchanged; as the plan for relays runs. */
export function relayRun(coil: CoilTruth, contact: ContactTruth, options: RunOptions): Capture {
  const { rateHz, cycles, seed } = options;
  const { normal } = seeded(seed);
  type Part = { lengthS: number; position: Position; fed: boolean; exchanged: boolean };
  const rest = (lengthS: number, fed: boolean, exchanged = false): Part => ({
    lengthS,
    position: 'rest',
    fed,
    exchanged,
  });
  const test = (exchanged: boolean): Part[] => [
    { lengthS: TEST_S, position: 'reverse', fed: false, exchanged },
    rest(OFF_S, false, exchanged),
  ];
  const cycle: Part[] = [
    { lengthS: ON_S, position: 'forward', fed: true, exchanged: false },
    rest(OFF_S, true),
  ];
  const parts = [
    rest(0.6, false),
    ...Array.from({ length: 3 }, () => test(false)).flat(),
    rest(0.6, true),
    ...Array.from({ length: cycles }, () => cycle).flat(),
    rest(0.3, false, true),
    ...Array.from({ length: 3 }, () => test(true)).flat(),
  ];
  const stepS = 1 / rateHz;
  const channels = {
    feedCurrentA: [] as number[],
    motorCurrentA: [] as number[],
    coilCurrentA: [] as number[],
    leadAVoltageV: [] as number[],
    leadBVoltageV: [] as number[],
    supplyVoltageV: [] as number[],
  };
  const position: Position[] = [];
  const timeS: number[] = [];
  const starts = parts.map((_, k) => parts.slice(0, k).reduce((sum, { lengthS }) => sum + lengthS, 0));
  const count = Math.round((starts.at(-1)! + parts.at(-1)!.lengthS) * rateHz);
  let k = 0;
  for (let i = 0; i < count; i++) {
    // Commands fall in the middle between two samples.
    const t = (i + 0.5) * stepS;
    while (k + 1 < parts.length && starts[k + 1]! <= t) k++;
    const part = parts[k]!;
    const sinceS = t - starts[k]!;
    const state = contactAt(contact, part.position, parts[k - 1]?.position ?? 'rest', sinceS);
    const acrossOhm = state === 'working' ? contact.makeOhm : contact.breakOhm;
    const branchOhm = state === 'working' ? contact.branchOhm : 0;
    const flows = part.fed && state !== 'open';
    const loadA = flows ? coil.supplyV / (contact.loadOhm + acrossOhm + contact.groundOhm + branchOhm) : 0;
    const inBranchA = state === 'working' ? loadA : 0;
    const at87 = loadA * contact.groundOhm + inBranchA * contact.branchOhm;
    const at30 = flows ? at87 + loadA * acrossOhm : part.fed ? coil.supplyV : 0;
    timeS.push(t);
    position.push(part.position);
    channels.feedCurrentA.push(loadA);
    channels.motorCurrentA.push(-inBranchA);
    channels.coilCurrentA.push(
      coilAt(coil, part.position, part.exchanged, sinceS, options.diode) +
        (options.coilNoiseA ?? 0) * normal(),
    );
    channels.leadAVoltageV.push(leadReading(at87, 0, options, normal));
    channels.leadBVoltageV.push(leadReading(at30, 1, options, normal));
    channels.supplyVoltageV.push(coil.supplyV);
  }
  return {
    timeS: Float64Array.from(timeS),
    position,
    channels: Object.fromEntries(
      Object.entries(channels).map(([name, values]) => [name, Float64Array.from(values)]),
    ),
    gaps: [],
    sampleRateHz: rateHz,
    notes: [],
  };
}

function contactAt(
  { operateS, releaseS }: ContactTruth,
  position: Position,
  before: Position,
  sinceS: number,
): 'rest' | 'open' | 'working' {
  if (position === 'reverse') return 'rest';
  const isOn = position === 'forward';
  if (!isOn && before !== 'forward') return 'rest';
  const passed = (isOn ? operateS : releaseS).filter((at) => at <= sinceS).length;
  if (passed === 0) return isOn ? 'rest' : 'working';
  return passed % 2 === 1 ? 'open' : isOn ? 'working' : 'rest';
}

function coilAt(
  coil: CoilTruth,
  position: Position,
  exchanged: boolean,
  sinceS: number,
  diode: RunOptions['diode'],
): number {
  if (position === 'rest') return 0;
  const seriesOhm = coil.pathOhm + (position === 'reverse' ? coil.testOhm : 0);
  // A diode that conducts holds the coil at its forward voltage; the winding beside it takes next to nothing.
  if (diode && exchanged) return (coil.supplyV - diode.forwardV) / seriesOhm;
  return coilCurrentA(coil, seriesOhm, sinceS);
}

function leadReading(trueV: number, lead: 0 | 1, options: RunOptions, normal: () => number): number {
  const { leadStepV = 0, leadNoiseV = 0, leadGain = [1, 1], leadOffsetV = [0, 0] } = options;
  const read = leadGain[lead] * trueV + leadOffsetV[lead] + leadNoiseV * normal();
  return leadStepV > 0 ? leadStepV * Math.round((read + 10) / leadStepV) - 10 : read;
}
