// Voltage source behind its resistance, with the constant-current limit of a bench supply where it has one.

import * as z from 'zod';
import { itemAt } from '../../arrays/index.js';
import type { Layout } from '../solver/layout.js';
import { addAt, type Stamps } from '../solver/stamps.js';
import {
  anyWaveform,
  elementKind,
  elementSchema,
  node,
  nonNegative,
  positive,
  type Waveform,
} from './kind.js';
import { Branch } from './two-ended.js';
import { WaveformWalker } from './waveform.js';

const schema = elementSchema('supply', {
  plus: node,
  minus: node,
  voltageV: anyWaveform,
  /** The waveform starts when the control `turn` comes, and stands at its first value until then. */
  turnedByHand: z.boolean().optional(),
  sourceResistanceOhm: nonNegative,
  /** Constant-current limit of a bench supply; absent for a battery. */
  currentLimitA: positive.optional(),
});
export type SupplyElement = z.infer<typeof schema>;

const VOLTAGE = 0;
const CURRENT = 1;

export class SupplyPart extends Branch {
  override readonly hasGuard: boolean;
  override readonly hasSource: boolean;
  readonly #points: Waveform;
  #wave: WaveformWalker;
  /** The time function waits for `turn`. */
  readonly #isTurned: boolean;
  /** What the matrix holds; what moves comes by `source`. */
  readonly #constantV: number;
  readonly #resistanceOhm: number;
  readonly #limitA: number;

  constructor(element: SupplyElement, layout: Layout) {
    super({ id: element.id, a: element.plus, b: element.minus }, 'current', layout);
    const { voltageV } = element;
    this.hasSource = typeof voltageV !== 'number';
    this.#constantV = typeof voltageV === 'number' ? voltageV : 0;
    this.#points = typeof voltageV === 'number' ? [[0, voltageV]] : voltageV;
    this.#isTurned = this.hasSource && element.turnedByHand === true;
    this.#wave = new WaveformWalker(this.#isTurned ? [[0, itemAt(this.#points, 0)[1]]] : this.#points);
    for (const [, value] of this.#points) layout.expectVoltage(value);
    this.#resistanceOhm = element.sourceResistanceOhm;
    this.#limitA = element.currentLimitA ?? Number.POSITIVE_INFINITY;
    this.hasGuard = element.currentLimitA !== undefined;
    if (this.hasSource) this.nextTimeS = this.#wave.nextTimeS;
  }
  override stamp(stamps: Stamps): void {
    super.stamp(stamps);
    if (this.mode === CURRENT) {
      stamps.add(this.current, this.current, 1);
      stamps.b[this.current] = -this.#limitA;
      return;
    }
    stamps.add(this.current, this.a, 1);
    stamps.add(this.current, this.b, -1);
    stamps.add(this.current, this.current, -this.#resistanceOhm);
    stamps.b[this.current] = this.#constantV;
  }
  override source(timeS: number, b: Float64Array): void {
    if (this.mode === VOLTAGE) addAt(b, this.current, this.#wave.at(timeS));
  }
  override timed(timeS: number): void {
    this.#wave.passTo(timeS);
    this.nextTimeS = this.#wave.nextTimeS;
  }
  override checkControl(state: string | boolean): string | undefined {
    if (!this.#isTurned) return super.checkControl(state);
    return state === 'turn' ? undefined : 'turn';
  }
  override control(_state: string | boolean, timeS: number): void {
    this.#wave = new WaveformWalker(this.#points.map(([afterS, value]) => [timeS + afterS, value] as const));
    this.timed(timeS);
  }
  override guard(x: Float64Array, _s: number, timeS: number): number {
    if (this.mode === VOLTAGE) return (this.#limitA + this.currentA(x)) / this.#limitA;
    return this.#wave.at(timeS) - this.#resistanceOhm * this.#limitA - this.acrossV(x);
  }
  override cross(): void {
    this.mode = this.mode === VOLTAGE ? CURRENT : VOLTAGE;
  }
  override dissipatedW(x: Float64Array): number {
    return this.#resistanceOhm * this.currentA(x) ** 2;
  }
  override suppliedW(x: Float64Array): number {
    const intoPlusA = this.currentA(x);
    return -intoPlusA * this.acrossV(x) + this.#resistanceOhm * intoPlusA * intoPlusA;
  }
  override state(): string {
    return this.hasGuard ? (this.mode === CURRENT ? 'limits' : 'regulates') : '';
  }
}

export const supply = elementKind(schema, { parts: (element, layout) => [new SupplyPart(element, layout)] });
