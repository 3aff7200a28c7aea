// Changeover relay, terminals by DIN 72552: coil R and L with suppression, armature, break and make contact.
// The coil's unknown is its flux linkage, so that inductance may change while the armature moves.

import type { RelayElement } from '../netlist.js';
import type { Layout } from '../solver/layout.js';
import { LEAK_S, type Stamps } from '../solver/stamps.js';
import { Armature, BREAK_CLOSED, MAKE_CLOSED } from './armature.js';
import { Part } from './part.js';

/** Loss resistance across the winding's inductance over its copper resistance. Makes an unsuppressed 12 V coil kick to
 * about 1.2 kV; TE application note 13C3311 gives 1000 to 1500 V. Leaves the steady current alone. */
const CORE_LOSS_RATIO = 100;
/** Slope of the suppression diode, Ohm. Common practice for a 1 A rectifier, no source. */
const DIODE_SLOPE_OHM = 0.03;
const DIODE = 8;
const PULLED = 4;

export class RelayPart extends Part {
  override readonly hasGuard = true;
  override readonly isNonlinear: boolean;
  override readonly limitsStep: boolean;
  readonly #flux: number;
  readonly #n85: number;
  readonly #n86: number;
  readonly #n30: number;
  readonly #n87: number | undefined;
  readonly #n87a: number | undefined;
  readonly #armature: Armature;
  readonly #lossOhm: number;
  #isDiodeOn = false;

  constructor(
    readonly element: RelayElement,
    readonly layout: Layout,
  ) {
    super(element.id);
    const { terminals } = element;
    this.#n85 = layout.node(terminals['85']);
    this.#n86 = layout.node(terminals['86']);
    this.#n30 = layout.node(terminals['30']);
    this.#n87 = terminals['87'] === undefined ? undefined : layout.node(terminals['87']);
    this.#n87a = terminals['87a'] === undefined ? undefined : layout.node(terminals['87a']);
    this.#flux = layout.unknown(`coil flux of ${element.id}`, 'flux');
    this.#lossOhm = CORE_LOSS_RATIO * element.coilResistanceOhm;
    this.#armature = new Armature(element);
    this.isNonlinear = this.limitsStep = element.closedInductanceRatio !== 1 && !element.stuck;
    layout.differential(this.#flux, element.coilInductanceH, 0);
    this.#remode();
  }
  #remode(): void {
    const isPulled = this.#armature.isPulling && !this.element.stuck ? PULLED : 0;
    this.mode = this.#armature.contact + isPulled + (this.#isDiodeOn ? DIODE : 0);
    this.nextTimeS = this.#armature.nextTimeS;
  }
  /** Inductance that the matrix holds: the one the armature is bound for. */
  #matrixH(): number {
    return this.element.coilInductanceH * (this.mode & PULLED ? this.element.closedInductanceRatio : 1);
  }
  #inductanceH(timeS: number): number {
    return (
      this.element.coilInductanceH *
      (1 + (this.element.closedInductanceRatio - 1) * this.#armature.place(timeS))
    );
  }
  stamp(stamps: Stamps): void {
    const { coilResistanceOhm, makeResistanceOhm, breakResistanceOhm, suppression } = this.element;
    const siemens = 1 / (coilResistanceOhm + this.#lossOhm);
    const share = this.#lossOhm * siemens;
    const perH = 1 / this.#matrixH();
    stamps.conductance(this.#n86, this.#n85, siemens);
    stamps.add(this.#n86, this.#flux, share * perH);
    stamps.add(this.#n85, this.#flux, -share * perH);
    stamps.derivative(this.#flux, this.#flux, 1);
    stamps.add(this.#flux, this.#flux, share * coilResistanceOhm * perH);
    stamps.add(this.#flux, this.#n86, -share);
    stamps.add(this.#flux, this.#n85, share);
    const contact = this.#armature.contact;
    if (this.#n87 !== undefined) {
      stamps.conductance(this.#n30, this.#n87, contact === MAKE_CLOSED ? 1 / makeResistanceOhm : LEAK_S);
    }
    if (this.#n87a !== undefined) {
      stamps.conductance(this.#n30, this.#n87a, contact === BREAK_CLOSED ? 1 / breakResistanceOhm : LEAK_S);
    }
    if (suppression.kind === 'resistor')
      stamps.conductance(this.#n86, this.#n85, 1 / suppression.resistanceOhm);
    if (suppression.kind === 'diode') this.#stampDiode(stamps, suppression.forwardVoltageV);
  }
  #stampDiode(stamps: Stamps, forwardV: number): void {
    const siemens = this.#isDiodeOn ? 1 / DIODE_SLOPE_OHM : LEAK_S;
    stamps.conductance(this.#n86, this.#n85, siemens);
    if (this.#isDiodeOn) stamps.injection(this.#n86, this.#n85, -siemens * forwardV * this.#diodeSign());
  }
  /** +1 when the suppression diode conducts from 86 to 85. */
  #diodeSign(): number {
    return this.element.suppression.kind === 'diode' && this.element.suppression.anodeAt === '86' ? 1 : -1;
  }
  #fluxCurrentA(x: Float64Array, timeS: number): number {
    return x[this.#flux]! / this.#inductanceH(timeS);
  }
  override nonlinear(x: Float64Array, _s: number, timeS: number, b: Float64Array): void {
    if (!this.#armature.isMoving(timeS)) return;
    const surplusA = x[this.#flux]! * (1 / this.#inductanceH(timeS) - 1 / this.#matrixH());
    const share = this.#lossOhm / (this.element.coilResistanceOhm + this.#lossOhm);
    b[this.#n86]! -= share * surplusA;
    b[this.#n85]! += share * surplusA;
    b[this.#flux]! -= share * this.element.coilResistanceOhm * surplusA;
  }
  override guard(x: Float64Array, _s: number, timeS: number): number {
    return Math.min(this.#armature.margin(this.#fluxCurrentA(x, timeS)), this.#diodeMargin(x));
  }
  #diodeMargin(x: Float64Array): number {
    const { suppression } = this.element;
    if (suppression.kind !== 'diode') return Number.POSITIVE_INFINITY;
    const overV = this.#diodeSign() * (x[this.#n86]! - x[this.#n85]!) - suppression.forwardVoltageV;
    return this.#isDiodeOn ? overV : -overV;
  }
  override cross(x: Float64Array, timeS: number): void {
    if (this.#diodeMargin(x) < -5e-7) this.#isDiodeOn = !this.#isDiodeOn;
    if (this.#armature.margin(this.#fluxCurrentA(x, timeS)) < -5e-7) this.#armature.start(timeS);
    this.#remode();
  }
  override timed(timeS: number): void {
    this.#armature.timed(timeS);
    this.#remode();
  }
  override largestStepS(): number {
    return this.#armature.isMoving(this.layout.step.startS)
      ? this.#armature.durationS / 16
      : Number.POSITIVE_INFINITY;
  }
  /** Current into terminal 86: winding and suppression together. */
  coilCurrentA(x: Float64Array, timeS: number): number {
    const voltageV = x[this.#n86]! - x[this.#n85]!;
    const { coilResistanceOhm, suppression } = this.element;
    const windingA =
      (voltageV + this.#lossOhm * this.#fluxCurrentA(x, timeS)) / (coilResistanceOhm + this.#lossOhm);
    if (suppression.kind === 'resistor') return windingA + voltageV / suppression.resistanceOhm;
    if (suppression.kind === 'none') return windingA;
    if (!this.#isDiodeOn) return windingA + LEAK_S * voltageV;
    return windingA + (voltageV - this.#diodeSign() * suppression.forwardVoltageV) / DIODE_SLOPE_OHM;
  }
  /** Current into terminal 30 through the closed contact. */
  currentA(x: Float64Array): number {
    const { makeResistanceOhm, breakResistanceOhm } = this.element;
    const contact = this.#armature.contact;
    const v30 = x[this.#n30]!;
    let sum = 0;
    if (this.#n87 !== undefined)
      sum += (v30 - x[this.#n87]!) * (contact === MAKE_CLOSED ? 1 / makeResistanceOhm : LEAK_S);
    if (this.#n87a !== undefined) {
      sum += (v30 - x[this.#n87a]!) * (contact === BREAK_CLOSED ? 1 / breakResistanceOhm : LEAK_S);
    }
    return sum;
  }
  override dissipatedW(x: Float64Array, timeS: number): number {
    const { makeResistanceOhm, breakResistanceOhm } = this.element;
    const contact = this.#armature.contact;
    const v30 = x[this.#n30]!;
    const coilV = x[this.#n86]! - x[this.#n85]!;
    const fluxA = this.#fluxCurrentA(x, timeS);
    // All that enters the coil terminals, less what goes into the flux at constant inductance.
    const acrossLossV =
      (this.#lossOhm * (coilV - this.element.coilResistanceOhm * fluxA)) /
      (this.element.coilResistanceOhm + this.#lossOhm);
    const armatureW =
      (fluxA *
        fluxA *
        this.element.coilInductanceH *
        (this.element.closedInductanceRatio - 1) *
        this.#armature.placeRate(timeS)) /
      2;
    let sum = this.coilCurrentA(x, timeS) * coilV - acrossLossV * fluxA + armatureW;
    if (this.#n87 !== undefined)
      sum += (v30 - x[this.#n87]!) ** 2 * (contact === MAKE_CLOSED ? 1 / makeResistanceOhm : LEAK_S);
    if (this.#n87a !== undefined) {
      sum += (v30 - x[this.#n87a]!) ** 2 * (contact === BREAK_CLOSED ? 1 / breakResistanceOhm : LEAK_S);
    }
    return sum;
  }
  override storedJ(x: Float64Array, timeS: number): number {
    return x[this.#flux]! ** 2 / (2 * this.#inductanceH(timeS));
  }
  override state(): string {
    return this.#armature.state();
  }
}
