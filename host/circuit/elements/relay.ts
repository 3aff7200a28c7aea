// Changeover relay, terminals by DIN 72552: coil, armature, break and make contact.

import type { RelayElement } from '../netlist.js';
import type { Layout } from '../solver/layout.js';
import { LEAK_S, type Stamps } from '../solver/stamps.js';
import { Armature, BREAK_CLOSED, MAKE_CLOSED } from './armature.js';
import { Part } from './part.js';
import { RelayCoil } from './relay-coil.js';

const DIODE = 8;
const PULLED = 4;

export class RelayPart extends Part {
  override readonly hasGuard = true;
  override readonly isNonlinear: boolean;
  override readonly limitsStep: boolean;
  readonly #n30: number;
  readonly #n87: number | undefined;
  readonly #n87a: number | undefined;
  readonly #armature: Armature;
  readonly #coil: RelayCoil;

  constructor(
    readonly element: RelayElement,
    readonly layout: Layout,
  ) {
    super(element.id);
    const { terminals } = element;
    this.#coil = new RelayCoil(element, layout);
    this.#n30 = layout.node(terminals['30']);
    this.#n87 = terminals['87'] === undefined ? undefined : layout.node(terminals['87']);
    this.#n87a = terminals['87a'] === undefined ? undefined : layout.node(terminals['87a']);
    this.#armature = new Armature(element);
    this.isNonlinear = this.limitsStep = element.closedInductanceRatio !== 1 && !element.stuck;
    this.#remode();
  }
  #remode(): void {
    const isPulled = this.#armature.isPulling && !this.element.stuck ? PULLED : 0;
    this.mode = this.#armature.contact + isPulled + (this.#coil.isDiodeOn ? DIODE : 0);
    this.nextTimeS = this.#armature.nextTimeS;
  }
  /** Inductance that the matrix holds: the one the armature is bound for. */
  #matrixH(): number {
    return this.element.coilInductanceH * (this.mode & PULLED ? this.element.closedInductanceRatio : 1);
  }
  #inductanceH(timeS: number): number {
    const { coilInductanceH, closedInductanceRatio } = this.element;
    return coilInductanceH * (1 + (closedInductanceRatio - 1) * this.#armature.place(timeS));
  }
  #makeSiemens(): number {
    return this.#armature.contact === MAKE_CLOSED ? 1 / this.element.makeResistanceOhm : LEAK_S;
  }
  #breakSiemens(): number {
    return this.#armature.contact === BREAK_CLOSED ? 1 / this.element.breakResistanceOhm : LEAK_S;
  }
  stamp(stamps: Stamps): void {
    this.#coil.stamp(stamps, this.#matrixH());
    if (this.#n87 !== undefined) stamps.conductance(this.#n30, this.#n87, this.#makeSiemens());
    if (this.#n87a !== undefined) stamps.conductance(this.#n30, this.#n87a, this.#breakSiemens());
  }
  override nonlinear(x: Float64Array, _s: number, timeS: number, b: Float64Array): boolean {
    if (!this.#armature.isMoving(timeS)) return false;
    this.#coil.correct(x, b, this.#inductanceH(timeS), this.#matrixH());
    return true;
  }
  override guard(x: Float64Array, _s: number, timeS: number): number {
    const fluxA = this.#coil.fluxCurrentA(x, this.#inductanceH(timeS));
    return Math.min(this.#armature.margin(fluxA), this.#coil.diodeMargin(x));
  }
  override cross(x: Float64Array, timeS: number): void {
    const fluxA = this.#coil.fluxCurrentA(x, this.#inductanceH(timeS));
    if (this.#coil.diodeMargin(x) < -5e-7) this.#coil.isDiodeOn = !this.#coil.isDiodeOn;
    if (this.#armature.margin(fluxA) < -5e-7) this.#armature.start(timeS);
    this.#remode();
  }
  override timed(timeS: number): void {
    this.#armature.timed(timeS);
    this.#remode();
  }
  override largestStepS(): number {
    const isMoving = this.#armature.isMoving(this.layout.step.startS);
    return isMoving ? this.#armature.durationS / 16 : Number.POSITIVE_INFINITY;
  }
  /** Current into terminal 86, suppression included. */
  coilCurrentA(x: Float64Array, timeS: number): number {
    return this.#coil.currentA(x, this.#inductanceH(timeS));
  }
  /** Current into terminal 30. */
  currentA(x: Float64Array): number {
    const v30 = x[this.#n30]!;
    const makeA = this.#n87 === undefined ? 0 : (v30 - x[this.#n87]!) * this.#makeSiemens();
    return makeA + (this.#n87a === undefined ? 0 : (v30 - x[this.#n87a]!) * this.#breakSiemens());
  }
  override dissipatedW(x: Float64Array, timeS: number): number {
    const inductanceH = this.#inductanceH(timeS);
    const fluxA = this.#coil.fluxCurrentA(x, inductanceH);
    const { coilInductanceH, closedInductanceRatio } = this.element;
    const inductanceRate = coilInductanceH * (closedInductanceRatio - 1) * this.#armature.placeRate(timeS);
    const v30 = x[this.#n30]!;
    let sum = this.#coil.dissipatedW(x, inductanceH) + (fluxA * fluxA * inductanceRate) / 2;
    if (this.#n87 !== undefined) sum += (v30 - x[this.#n87]!) ** 2 * this.#makeSiemens();
    if (this.#n87a !== undefined) sum += (v30 - x[this.#n87a]!) ** 2 * this.#breakSiemens();
    return sum;
  }
  override storedJ(x: Float64Array, timeS: number): number {
    const inductanceH = this.#inductanceH(timeS);
    return (inductanceH * this.#coil.fluxCurrentA(x, inductanceH) ** 2) / 2;
  }
  override state(): string {
    return this.#armature.state();
  }
}
