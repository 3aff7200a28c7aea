// Sees in the live samples when a switch is thrown by hand and when it is let go, and to the sample when that began.
// Everything is told by how the readings differ from those of the rest before: leads, currents, relay coils.

import { sampleAt } from '../arrays/index.js';
import type { SampleBlock } from '../rig/index.js';

export type HandSignal =
  | 'leadAVoltageV'
  | 'leadBVoltageV'
  | 'motorCurrentA'
  | 'feedCurrentA'
  | 'coilCurrentA';
const LEADS = ['leadAVoltageV', 'leadBVoltageV'] as const;
const CURRENTS = ['motorCurrentA', 'feedCurrentA'] as const;
export const HAND_SIGNALS = [...LEADS, ...CURRENTS, 'coilCurrentA'] as const;

/** What a throw moves at the least: a stalled motor on 1 A lifts its lead by 0.5 V, a coil draws 35 mA or more (common practice). */
export const LEAST_MOVED: Record<HandSignal, number> = {
  leadAVoltageV: 0.35,
  leadBVoltageV: 0.35,
  motorCurrentA: 0.3,
  feedCurrentA: 0.35,
  coilCurrentA: 0.02,
};
/** Bounce and a fumbled blade are over by then, or the throw does not count yet (common practice, no source). */
const THROWN_AFTER_S = 0.025;
/** Longer than a brush or a bad contact takes to land again. */
const RELEASED_AFTER_S = 0.04;
/** Of the samples since the first that was off, so many must be, or it was a spike or a dropout. */
const MOST_PART = 0.7;
/** A quiet stretch this long ends what was no throw. */
const QUIET_S = 0.02;
/** References follow slow changes: a motor that coasts out, one that starts on 1 A. */
const REST_FOLLOWS_S = 0.2;
const THROWN_FOLLOWS_S = 0.05;
/** A brush that lifts lets its lead jump to the feed for so long: no level to follow, and its landing no release. */
const SPIKE_S = 0.012;
/** Further from rest than it stood, by so many times. */
const SPIKE_TIMES = 2;
/** A lead that has gone this part of the way back has lost its contact: a coasting motor keeps it from going all the way. */
const BACK_PART = 0.35;
/** A motor without drive has none of these between its leads. */
const DRIVEN_V = 1;
const DRIVEN_A = 0.3;

export class HandWatch {
  /** Board time at which the throw began, when one was seen; of the last sample looked at. */
  thrownAtS: number | undefined;
  releasedAtS: number | undefined;
  endS = 0;
  readonly #rest = new Map<HandSignal, number>();
  readonly #thrown = new Map<HandSignal, number>();
  /** How long each has been far beyond where it stood while thrown. */
  readonly #beyondS = new Map<HandSignal, number>();
  /** First sample that was off, samples since, how many of them were off, last one that was. */
  #run: { fromS: number; count: number; off: number; lastS: number } | undefined;

  /** Forgets what was: the readings from now on are those of rest. */
  rest(): void {
    this.thrownAtS = undefined;
    this.releasedAtS = undefined;
    this.#rest.clear();
    this.#thrown.clear();
    this.#beyondS.clear();
    this.#run = undefined;
  }

  /** 1 when lead A is driven positive, -1 when negative, 0 when the motor has no drive. */
  get way(): -1 | 0 | 1 {
    const a = this.#thrown.get('leadAVoltageV');
    const b = this.#thrown.get('leadBVoltageV');
    const voltage = a === undefined || b === undefined ? 0 : a - b;
    if (Math.abs(voltage) > DRIVEN_V) return voltage > 0 ? 1 : -1;
    const current = this.#thrown.get('motorCurrentA') ?? 0;
    if (Math.abs(current) > DRIVEN_A) return current > 0 ? 1 : -1;
    return 0;
  }

  add({ timeS, channels }: Pick<SampleBlock, 'timeS' | 'channels'>): void {
    for (let i = 0; i < timeS.length; i++) {
      const nowS = sampleAt(timeS, i);
      const stepS = Math.min(0.01, Math.max(0, nowS - this.endS));
      this.endS = nowS;
      const at = (signal: HandSignal): number => channels[signal]?.[i] ?? Number.NaN;
      if (this.thrownAtS === undefined) this.#atRest(at, stepS);
      else if (this.releasedAtS === undefined) this.#whileThrown(at, stepS);
    }
  }

  #atRest(at: (signal: HandSignal) => number, stepS: number): void {
    let isOff = false;
    for (const signal of HAND_SIGNALS) {
      const rest = this.#rest.get(signal);
      if (rest !== undefined && Math.abs(at(signal) - rest) > LEAST_MOVED[signal]) isOff = true;
    }
    const beganS = this.#judge(isOff, THROWN_AFTER_S);
    if (beganS !== undefined) {
      this.thrownAtS = beganS;
      for (const signal of HAND_SIGNALS) if (!Number.isNaN(at(signal))) this.#thrown.set(signal, at(signal));
    } else if (this.#run === undefined) follow(this.#rest, at, stepS, REST_FOLLOWS_S);
  }

  #whileThrown(at: (signal: HandSignal) => number, stepS: number): void {
    const beganS = this.#judge(this.#isBack(at), RELEASED_AFTER_S);
    if (beganS !== undefined) this.releasedAtS = beganS;
    else if (this.#run === undefined)
      follow(
        this.#thrown,
        (signal) => this.#withoutSpike(signal, at(signal), stepS),
        stepS,
        THROWN_FOLLOWS_S,
      );
  }

  /** A reading that has only just jumped away from rest is none yet. */
  #withoutSpike(signal: HandSignal, value: number, stepS: number): number {
    const moved = this.#moved(signal);
    const rest = this.#rest.get(signal) ?? 0;
    const isBeyond = moved !== 0 && (value - rest) / moved > SPIKE_TIMES;
    const beyondS = isBeyond ? (this.#beyondS.get(signal) ?? 0) + stepS : 0;
    this.#beyondS.set(signal, beyondS);
    return isBeyond && beyondS < SPIKE_S ? Number.NaN : value;
  }

  /** By the leads where they moved, else by the coil, else by the current: a motor that stops by itself stays thrown. */
  #isBack(at: (signal: HandSignal) => number): boolean {
    for (const group of [LEADS, ['coilCurrentA'], CURRENTS] as const) {
      const moves = group.map((signal) => ({ signal, moved: this.#moved(signal) }));
      const most = Math.max(...moves.map(({ moved }) => Math.abs(moved)));
      if (most === 0) continue;
      return moves.some(({ signal, moved }) => {
        const thrown = this.#thrown.get(signal);
        // A return lead lifted by the start's own current comes down by itself.
        if (thrown === undefined || Math.abs(moved) < most / 2) return false;
        return (thrown - at(signal)) / moved > BACK_PART;
      });
    }
    return false;
  }

  /** How far the throw has moved a signal from rest; 0 when by less than a throw moves it. */
  #moved(signal: HandSignal): number {
    const thrown = this.#thrown.get(signal);
    const rest = this.#rest.get(signal);
    if (thrown === undefined || rest === undefined) return 0;
    return Math.abs(thrown - rest) > LEAST_MOVED[signal] ? thrown - rest : 0;
  }

  /** When what is off has lasted `afterS`, the time of its first sample. */
  #judge(isOff: boolean, afterS: number): number | undefined {
    const run = this.#run;
    if (run === undefined) {
      if (isOff) this.#run = { fromS: this.endS, count: 1, off: 1, lastS: this.endS };
      return undefined;
    }
    run.count += 1;
    if (isOff) {
      run.off += 1;
      run.lastS = this.endS;
    }
    if (this.endS - run.lastS > QUIET_S) this.#run = undefined;
    else if (isOff && this.endS - run.fromS >= afterS && run.off >= MOST_PART * run.count) {
      this.#run = undefined;
      return run.fromS;
    }
    return undefined;
  }
}

function follow(
  levels: Map<HandSignal, number>,
  at: (signal: HandSignal) => number,
  stepS: number,
  timeConstantS: number,
): void {
  const part = 1 - Math.exp(-stepS / timeConstantS);
  for (const signal of HAND_SIGNALS) {
    const value = at(signal);
    if (Number.isNaN(value)) continue;
    const level = levels.get(signal);
    levels.set(signal, level === undefined ? value : level + part * (value - level));
  }
}
