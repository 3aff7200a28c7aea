// The coil: resistance from the steady current, inductance and what lies across it from the test current's rise, both
// carried to 20 and 25 C where the temperature is known (copper, IEC 60028).

import { itemAt, lastOf, sampleAt } from '../../arrays/index.js';
import type { Capture } from '../../capture/index.js';
import { copperFactor } from '../../circuit/index.js';
import type { Budgets } from '../budget.js';
import { budgetOf } from '../budget.js';
import { type Component, lineOf, type Quantity, quantityOf, scaledLines, spanAt } from '../quantity.js';
import type { Told } from '../reading.js';
import { type CoilStep, coilStep } from './coil-step.js';
import { edgeTime } from './edges.js';
import type { KnownOhm, RelayMeasureOptions } from './hook-up.js';
import { pooledLevel } from './levels.js';
import type { RelayStretches, Span } from './stretches.js';
import type { PolaritySeen, SuppressionSeen } from './suppression.js';

/** The coil current has settled in the last part of a stretch. */
const SETTLED_PART = 0.4;
const NONE: KnownOhm = { ohm: 0, standardUncertainty: 0 };
/** A coil that draws less is open, or not there. */
const LEAST_COIL_A = 0.004;
/**
 * Iron loss lies beside the inductance and reads as some of it: 2.4 % in a loop of 200 Ohm with a loss of 100 times the
 * copper resistance, which the 1000 to 1500 V kick of a bare coil stands for (TE application note 13C3311).
 */
const IRON_PART = 0.02;
/** Less is no winding (6 V relays have 15 to 30 Ohm; common practice). */
const LEAST_WINDING_OHM = 11;

export interface CoilSeen {
  measured: Told;
  marked?: PolaritySeen;
  exchanged?: PolaritySeen;
  /** Of the test current's steps, for the inductance. */
  steps: CoilStep[];
}

const settled = ({ from, to }: Span): Span => ({
  from: to - Math.max(3, Math.floor(SETTLED_PART * (to - from))),
  to,
});

/** Resistance between the coil's terminals from supply over current, what lies in series taken off. */
function terminalOhm(
  capture: Capture,
  spans: readonly Span[],
  budgets: Budgets,
  series: readonly KnownOhm[],
): { ohm: Quantity; currentA: Quantity; supplyV: Quantity } | undefined {
  const tails = spans.map(settled);
  const currentA = pooledLevel(capture, 'coilCurrentA', tails, budgets);
  const supplyV = pooledLevel(capture, 'supplyVoltageV', tails, budgets);
  if (!currentA || !supplyV) return undefined;
  // An open coil reads as what a current too small to see would mean.
  const amperes = Math.max(currentA.value, LEAST_COIL_A);
  const all = supplyV.value / amperes;
  const components: Component[] = [
    ...scaledLines(supplyV, 1 / amperes, 'the supply'),
    ...scaledLines(currentA, all / amperes, 'the current'),
    ...series.map(({ standardUncertainty }) => lineOf(standardUncertainty, 'resistance in series')),
  ];
  const ohm = quantityOf(
    all - series.reduce((sum, { ohm }) => sum + ohm, 0),
    'Ohm',
    components,
    spanAt(capture.timeS, itemAt(tails, 0).from, lastOf(tails).to),
  );
  return { ohm, currentA, supplyV };
}

const POLARITY = {
  marked: { currentA: 'markedTestCurrentA', ohm: 'markedTestOhm' },
  exchanged: { currentA: 'exchangedTestCurrentA', ohm: 'exchangedTestOhm' },
} as const;

/** Everything about the coil that needs no verdict on its suppression. */
export function coilOf(
  capture: Capture,
  { cycles, marked, exchanged }: Pick<RelayStretches, 'cycles' | 'marked' | 'exchanged'>,
  budgets: Budgets,
  { coilPath = NONE, coilTest }: RelayMeasureOptions,
): CoilSeen {
  const measured: Told = {};
  const on = cycles.map(({ on, off }) => ({ from: on, to: off }));
  const full = on.length > 0 ? terminalOhm(capture, on, budgets, [coilPath]) : undefined;
  if (full) {
    measured.coilCurrentA = full.currentA;
    measured.coilSupplyVoltageV = full.supplyV;
    if (full.currentA.value > LEAST_COIL_A) measured.coilResistanceOhm = full.ohm;
  }
  const polarity = (names: (typeof POLARITY)[keyof typeof POLARITY], spans: readonly Span[]): Polarity => {
    if (!coilTest || spans.length === 0) return undefined;
    const seen = terminalOhm(capture, spans, budgets, [coilPath, coilTest]);
    if (!seen) return undefined;
    measured[names.currentA] = seen.currentA;
    measured[names.ohm] = seen.ohm;
    const steps = spans.flatMap((span) => stepOf(capture, span) ?? []);
    return {
      seen: {
        terminalOhm: seen.ohm,
        supplyV: seen.supplyV.value,
        ...(steps.length > 0 ? { startA: startOf(capture, steps, budgets) } : {}),
      },
      steps,
    };
  };
  const first = polarity(POLARITY.marked, marked);
  const second = polarity(POLARITY.exchanged, exchanged);
  return {
    measured,
    ...(first ? { marked: first.seen } : {}),
    ...(second ? { exchanged: second.seen } : {}),
    steps: windingSteps(first, second),
  };
}

type Polarity = { seen: PolaritySeen; steps: CoilStep[] } | undefined;

/** Steps that went through the winding: none of a polarity in which a diode, or a short, took the current past it. */
function windingSteps(first: Polarity, second: Polarity): CoilStep[] {
  const both = [first, second].flatMap((polarity) => polarity ?? []);
  const most = Math.max(0, ...both.map(({ seen }) => seen.terminalOhm.value));
  return both
    .filter(({ seen }) => seen.terminalOhm.value > LEAST_WINDING_OHM && seen.terminalOhm.value > most / 2)
    .flatMap(({ steps }) => steps);
}

function stepOf(capture: Capture, { from, to }: Span): CoilStep | undefined {
  const { timeS, channels } = capture;
  const currentA = channels.coilCurrentA;
  return currentA ? coilStep({ timeS, currentA, from, to, onS: edgeTime(timeS, from) }) : undefined;
}

const meanOver = (steps: readonly CoilStep[], pick: (step: CoilStep) => number): number =>
  steps.reduce((sum, step) => sum + pick(step), 0) / steps.length;

/**
 * Current at the instant of switching: fit, offset, and a command that fell anywhere between two samples. Commands may
 * keep step with the sampling, so that more steps do not average that out.
 */
function startOf(
  { timeS }: Capture,
  steps: readonly CoilStep[],
  budgets: Budgets,
): NonNullable<PolaritySeen['startA']> {
  const { offset, gain } = budgetOf(budgets, 'coilCurrentA');
  const value = meanOver(steps, ({ startA }) => startA);
  const slope = meanOver(steps, ({ endA, startA, tauS }) => (endA - startA) / tauS);
  const edgeU = slope * (stepOfGrid(timeS) / Math.sqrt(12));
  const fitU = meanOver(steps, ({ startU }) => startU);
  return {
    value,
    standardUncertainty: Math.hypot(edgeU, fitU / Math.sqrt(steps.length), offset, gain * value),
  };
}

export const stepOfGrid = (timeS: Float64Array): number =>
  timeS.length > 1 ? (sampleAt(timeS, timeS.length - 1) - sampleAt(timeS, 0)) / (timeS.length - 1) : 0;

const COPPER_C = 20;
const WINDING_AT = [
  ['windingResistance20COhm', 20],
  ['windingResistance25COhm', 25],
] as const;

/** Winding alone, at bench temperature and carried to 20 and 25 C, and its inductance with the armature at rest. */
export function windingOf(
  { measured, steps }: CoilSeen,
  suppression: SuppressionSeen,
  { coilPath = NONE, coilTest, temperatureC }: RelayMeasureOptions,
): Told {
  const result: Told = {};
  const terminal = measured.coilResistanceOhm;
  if (!terminal || terminal.value < LEAST_WINDING_OHM) return result;
  const across = suppression.kind === 'resistor' ? suppression : undefined;
  const winding = across ? withoutAcross(terminal, across) : terminal;
  result.windingResistanceOhm = winding;
  if (temperatureC) {
    const { nominal, plusMinus } = temperatureC;
    for (const [name, referenceC] of WINDING_AT) {
      const factor = copperFactor(referenceC, nominal);
      const value = winding.value / factor;
      const warmth = value * (copperFactor(COPPER_C, COPPER_C + 1) - 1) * plusMinus;
      result[name] = quantityOf(value, 'Ohm', [
        ...scaledLines(winding, 1 / factor),
        lineOf(warmth / Math.sqrt(3), 'temperature'),
      ]);
    }
  }
  if (coilTest && steps.length > 0 && suppression.kind !== 'unknown') {
    const seriesOhm = coilPath.ohm + coilTest.ohm;
    const loopOhm = winding.value + (across ? 1 / (1 / seriesOhm + 1 / across.ohm) : seriesOhm);
    const one = steps.filter(({ tauS }) => tauS < 3 * Math.min(...steps.map((step) => step.tauS)));
    const tauS = meanOver(one, (step) => step.tauS);
    const scatterU =
      one.length > 1
        ? Math.sqrt(one.reduce((sum, step) => sum + (step.tauS - tauS) ** 2, 0) / (one.length - 1))
        : itemAt(one, 0).tauU;
    const fitU = meanOver(one, ({ tauU }) => tauU);
    const meanU = (loopOhm * Math.max(scatterU, fitU)) / Math.sqrt(one.length);
    const loopU = Math.hypot(winding.standardUncertainty, coilTest.standardUncertainty);
    result.coilInductanceH = quantityOf(tauS * loopOhm, 'H', [
      lineOf(meanU, 'scatter of the rise', Math.max(1, one.length - 1)),
      lineOf(IRON_PART * tauS * loopOhm, 'iron loss'),
      lineOf(tauS * loopU, 'resistance of the loop'),
    ]);
  }
  return result;
}

function withoutAcross(terminal: Quantity, across: { ohm: number; standardUncertainty: number }): Quantity {
  const value = 1 / (1 / terminal.value - 1 / across.ohm);
  if (!(value > 0)) return terminal;
  return quantityOf(value, 'Ohm', [
    ...scaledLines(terminal, (value / terminal.value) ** 2),
    lineOf(across.standardUncertainty * (value / across.ohm) ** 2, 'resistor across the coil'),
  ]);
}
