// Voltage source behind its resistance, with the constant-current limit of a bench supply where it has one.

import type { SupplyElement, Waveform } from '../netlist.js';
import type { Layout } from '../solver/layout.js';
import type { Stamps } from '../solver/stamps.js';
import { Part } from './part.js';
import { WaveformWalker } from './waveform.js';

const VOLTAGE = 0;
const CURRENT = 1;

export class SupplyPart extends Part {
  override readonly hasGuard: boolean;
  override readonly hasSource: boolean;
  readonly #plus: number;
  readonly #minus: number;
  /** Into the plus terminal, so negative while delivering. */
  readonly #current: number;
  #wave: WaveformWalker | undefined;
  /** Turned by hand: the time function waits for `turn`. */
  readonly #turned: Waveform | undefined;
  readonly #voltageV: number;
  readonly #resistanceOhm: number;
  readonly #limitA: number;

  constructor(element: SupplyElement, layout: Layout) {
    super(element.id);
    this.#plus = layout.node(element.plus);
    this.#minus = layout.node(element.minus);
    this.#current = layout.unknown(`current of ${element.id}`, 'current');
    this.#turned =
      element.turnedByHand === true && typeof element.voltageV !== 'number' ? element.voltageV : undefined;
    const wave = this.#turned ? [[0, this.#turned[0]![1]] as const] : element.voltageV;
    this.#wave = typeof wave === 'number' ? undefined : new WaveformWalker(wave);
    this.#voltageV = typeof element.voltageV === 'number' ? element.voltageV : 0;
    this.#resistanceOhm = element.sourceResistanceOhm;
    for (const [, value] of this.#turned ?? this.#wave?.points ?? [[0, this.#voltageV]])
      layout.expectVoltage(value!);
    this.#limitA = element.currentLimitA ?? Number.POSITIVE_INFINITY;
    this.hasGuard = element.currentLimitA !== undefined;
    this.hasSource = this.#wave !== undefined;
    this.nextTimeS = this.#wave?.nextTimeS ?? Number.POSITIVE_INFINITY;
  }
  stamp(stamps: Stamps): void {
    stamps.branch(this.#plus, this.#minus, this.#current);
    if (this.mode === CURRENT) {
      stamps.add(this.#current, this.#current, 1);
      stamps.b[this.#current] = -this.#limitA;
      return;
    }
    stamps.add(this.#current, this.#plus, 1);
    stamps.add(this.#current, this.#minus, -1);
    stamps.add(this.#current, this.#current, -this.#resistanceOhm);
    stamps.b[this.#current] = this.#voltageV;
  }
  override source(timeS: number, b: Float64Array): void {
    if (this.mode === VOLTAGE) b[this.#current]! += this.#wave!.at(timeS);
  }
  override timed(timeS: number): void {
    this.#wave!.passTo(timeS);
    this.nextTimeS = this.#wave!.nextTimeS;
  }
  override checkControl(state: string | boolean): string | undefined {
    if (this.#turned === undefined) return super.checkControl(state);
    return state === 'turn' ? undefined : 'turn';
  }
  override control(_state: string | boolean, timeS: number): void {
    this.#wave = new WaveformWalker(this.#turned!.map(([afterS, value]) => [timeS + afterS, value] as const));
    this.timed(timeS);
  }
  override guard(x: Float64Array, _s: number, timeS: number): number {
    if (this.mode === VOLTAGE) return (this.#limitA + x[this.#current]!) / this.#limitA;
    const setV = this.#wave?.at(timeS) ?? this.#voltageV;
    return setV - this.#resistanceOhm * this.#limitA - (x[this.#plus]! - x[this.#minus]!);
  }
  override cross(): void {
    this.mode = this.mode === VOLTAGE ? CURRENT : VOLTAGE;
  }
  currentA(x: Float64Array): number {
    return x[this.#current]!;
  }
  override dissipatedW(x: Float64Array): number {
    return this.#resistanceOhm * x[this.#current]! ** 2;
  }
  override suppliedW(x: Float64Array): number {
    const intoPlusA = x[this.#current]!;
    return -intoPlusA * (x[this.#plus]! - x[this.#minus]!) + this.#resistanceOhm * intoPlusA * intoPlusA;
  }
  override state(): string {
    return this.hasGuard ? (this.mode === CURRENT ? 'limits' : 'regulates') : '';
  }
}
