// A relay's coil: winding R and L with core loss across L, and its suppression. Its unknown is the flux linkage, so
// that the inductance may change while the armature moves.

import { sampleAt } from '../../arrays/index.js';
import type { Layout } from '../solver/layout.js';
import { addAt, LEAK_S, type Stamps } from '../solver/stamps.js';
import type { RelayElement } from './relay.js';
import { differenceAt } from './two-ended.js';

/** Loss resistance across the winding's inductance over its copper resistance. Makes an unsuppressed 12 V coil kick to
 * about 1.2 kV; TE application note 13C3311 gives 1000 to 1500 V. Leaves the steady current alone. */
const CORE_LOSS_RATIO = 100;
/** Slope of the suppression diode, Ohm. Common practice for a 1 A rectifier, no source. */
const DIODE_SLOPE_OHM = 0.03;

export class RelayCoil {
  isDiodeOn = false;
  readonly #n85: number;
  readonly #n86: number;
  readonly #flux: number;
  readonly #windingOhm: number;
  readonly #siemens: number;
  /** Part of the terminal voltage that stands across the inductance at no flux. */
  readonly #share: number;

  constructor(
    readonly relay: RelayElement,
    layout: Layout,
  ) {
    this.#n85 = layout.node(relay.terminals['85']);
    this.#n86 = layout.node(relay.terminals['86']);
    this.#flux = layout.unknown(`coil flux of ${relay.id}`, 'flux');
    this.#windingOhm = relay.coilResistanceOhm;
    this.#siemens = 1 / (this.#windingOhm * (1 + CORE_LOSS_RATIO));
    this.#share = CORE_LOSS_RATIO / (1 + CORE_LOSS_RATIO);
    layout.differential(this.#flux, relay.coilInductanceH, 0);
  }
  stamp(stamps: Stamps, inductanceH: number): void {
    const perH = this.#share / inductanceH;
    stamps.conductance(this.#n86, this.#n85, this.#siemens);
    stamps.add(this.#n86, this.#flux, perH);
    stamps.add(this.#n85, this.#flux, -perH);
    stamps.derivative(this.#flux, this.#flux, 1);
    stamps.add(this.#flux, this.#flux, perH * this.#windingOhm);
    stamps.add(this.#flux, this.#n86, -this.#share);
    stamps.add(this.#flux, this.#n85, this.#share);
    const { suppression } = this.relay;
    if (suppression.kind === 'resistor')
      stamps.conductance(this.#n86, this.#n85, 1 / suppression.resistanceOhm);
    if (suppression.kind !== 'diode') return;
    const siemens = this.isDiodeOn ? 1 / DIODE_SLOPE_OHM : LEAK_S;
    stamps.conductance(this.#n86, this.#n85, siemens);
    if (!this.isDiodeOn) return;
    stamps.injection(
      this.#n86,
      this.#n85,
      (LEAK_S - siemens) * suppression.forwardVoltageV * this.#diodeSign(),
    );
  }
  /** What the matrix lacks when the inductance is `inductanceH` and not `matrixH`. */
  correct(x: Float64Array, b: Float64Array, inductanceH: number, matrixH: number): void {
    const surplusA = this.#share * sampleAt(x, this.#flux) * (1 / inductanceH - 1 / matrixH);
    addAt(b, this.#n86, -surplusA);
    addAt(b, this.#n85, surplusA);
    addAt(b, this.#flux, -this.#windingOhm * surplusA);
  }
  /** +1 when the suppression diode conducts from 86 to 85. */
  #diodeSign(): number {
    return this.relay.suppression.kind === 'diode' && this.relay.suppression.anodeAt === '86' ? 1 : -1;
  }
  diodeMargin(x: Float64Array): number {
    const { suppression } = this.relay;
    if (suppression.kind !== 'diode') return Number.POSITIVE_INFINITY;
    const overV = this.#diodeSign() * this.#voltageV(x) - suppression.forwardVoltageV;
    return this.isDiodeOn ? overV : -overV;
  }
  #voltageV(x: Float64Array): number {
    return differenceAt(x, this.#n86, this.#n85);
  }
  /** Current that magnetises, and so moves the armature. */
  fluxCurrentA(x: Float64Array, inductanceH: number): number {
    return sampleAt(x, this.#flux) / inductanceH;
  }
  /** Current into terminal 86: winding and suppression together. */
  currentA(x: Float64Array, inductanceH: number): number {
    const voltageV = this.#voltageV(x);
    const { suppression } = this.relay;
    const windingA = voltageV * this.#siemens + this.#share * this.fluxCurrentA(x, inductanceH);
    if (suppression.kind === 'resistor') return windingA + voltageV / suppression.resistanceOhm;
    if (suppression.kind === 'none') return windingA;
    if (!this.isDiodeOn) return windingA + LEAK_S * voltageV;
    const thresholdV = this.#diodeSign() * suppression.forwardVoltageV;
    return windingA + LEAK_S * thresholdV + (voltageV - thresholdV) / DIODE_SLOPE_OHM;
  }
  /** All that enters the terminals, less what goes into the flux at constant inductance. */
  dissipatedW(x: Float64Array, inductanceH: number): number {
    const fluxA = this.fluxCurrentA(x, inductanceH);
    const acrossV = this.#share * (this.#voltageV(x) - this.#windingOhm * fluxA);
    return this.currentA(x, inductanceH) * this.#voltageV(x) - acrossV * fluxA;
  }
}
