// Current and back-EMF of a motor on its way from row to row, with their sensitivities to every parameter. Friction
// sticks; brushes have a knee.

import { sampleAt } from '../../arrays/index.js';
import {
  CONDUCTANCE,
  COULOMB,
  CURRENT_OFFSET,
  DROP,
  electricalOf,
  GAIN_GAP,
  LN_C,
  LN_R,
  type MotorElectrical,
  VOLTAGE_OFFSET,
} from './motor-parameters.js';
import { type MotorStep, motorStep, NOTHING, type StepEntries, type StepRow, through } from './motor-step.js';
import type { RippleCourse, RippleShare } from './ripple-course.js';
import { addTo } from './vectors.js';

/** Voltage across the motor at both ends of a step, V, and the half sum of its leads there. */
export interface StepEnds {
  u0: number;
  u1: number;
  w0: number;
  w1: number;
}

/** Less voltage than this, and less current than so many knees of the brushes: the motor stands. */
const STANDING_V = 0.4;
const STANDING_KNEES = 2;
/** The knee counts as passed at once by a step that ends so many times beyond it. */
const PASSED_KNEES = 2;
/** Under so little friction over a step its decay is taken by its series. */
const SMALL_DECAY = 1e-4;
/** Rows after which a current's entry has died away with L / R, and what it left in the back-EMF is left, too. */
const FOLLOWED_ROWS = 400;

const NO_ENTRIES: StepEntries = { current: NOTHING, emf: NOTHING };

export class MotorState {
  currentA = 0;
  emfV = 0;
  readonly currentBy: Float64Array;
  readonly emfBy: Float64Array;
  /** Parameters that anything depends on by now: those of an entry are followed only while they live. */
  live: number;
  /** What carried current and back-EMF into the row, and what voltage at both ends added. */
  carried = NO_ENTRIES;
  private readonly parameters: Float64Array;
  private readonly motor: MotorElectrical;
  private readonly kneeA: number;
  private readonly fixed: number;
  private readonly follows: boolean;
  /** A drop or a friction that came out at nothing is held there. */
  private readonly dropMoves: number;
  private readonly coulombMoves: number;
  private readonly steps = new Map<number, MotorStep>();
  private readonly drive: StepRow = { ...NOTHING };
  /** Of the knee, on which the present step lies: 0 below it. */
  private side = 0;
  private isEmfEntry = false;
  private followedRows = 0;

  /**
   * @param fixed parameters in front of the entries
   * @param follows whether the sensitivities are asked for
   */
  constructor(parameters: Float64Array, kneeA: number, fixed: number, follows: boolean) {
    this.currentBy = new Float64Array(parameters.length);
    this.emfBy = new Float64Array(parameters.length);
    this.live = fixed;
    this.parameters = parameters;
    this.motor = electricalOf(parameters);
    this.kneeA = kneeA;
    this.fixed = fixed;
    this.follows = follows;
    this.dropMoves = sampleAt(parameters, DROP) > 0 ? 1 : 0;
    this.coulombMoves = sampleAt(parameters, COULOMB) > 0 ? 1 : 0;
  }

  /** Anew from a reading of the current, A, behind rows that are missing. */
  restart(readA: number, { u1, w1 }: StepEnds): void {
    this.readAs(readA);
    this.emfBy.fill(0);
    this.carried = NO_ENTRIES;
    const { resistanceOhm, brushDropV } = this.motor;
    const side = Math.abs(this.currentA) > this.kneeA ? Math.sign(this.currentA) : 0;
    const stands = Math.abs(u1) < STANDING_V && Math.abs(this.currentA) < STANDING_KNEES * this.kneeA;
    this.emfV = stands ? 0 : u1 - resistanceOhm * this.currentA - brushDropV * side;
    if (stands) return;
    this.emfBy[LN_R] = -resistanceOhm * this.currentA;
    this.emfBy[DROP] = -side * this.dropMoves;
    this.emfBy[VOLTAGE_OFFSET] = 1;
    this.emfBy[GAIN_GAP] = w1;
    this.emfBy[CURRENT_OFFSET] = resistanceOhm;
  }

  /** Over a step whose current is taken as read at its ends, A; undefined before it where the contact was open. */
  readThrough(stepS: number, beforeA: number | undefined, readA: number): void {
    const offsetA = sampleAt(this.parameters, CURRENT_OFFSET);
    const fromA = beforeA === undefined ? 0 : beforeA - offsetA;
    this.coast(stepS, (fromA + (readA - offsetA)) / 2, beforeA === undefined ? 0.5 : 1);
    this.readAs(readA);
  }

  /** Over a step with the contact open. */
  open(stepS: number): void {
    this.coast(stepS, 0, 0);
    this.currentA = 0;
    this.currentBy.fill(0);
  }

  /** Over a step with the contact closed. */
  close(stepS: number, ends: StepEnds, ripple: RippleCourse | undefined): void {
    const { coulombA } = this.motor;
    const before = this.currentA;
    const stands = this.emfV === 0 && Math.abs(before) <= coulombA;
    const turning = this.emfV !== 0 ? Math.sign(this.emfV) : stands ? 0 : Math.sign(before);
    const drive = this.drive;
    drive.i = before;
    drive.e = this.emfV;
    drive.u0 = ends.u0;
    drive.u1 = ends.u1;
    drive.braking = coulombA * turning - (ripple ? ripple.torqueA : 0);
    const step = this.acrossKnee(stepS, stands);
    const emfV = through(step.emf, drive);
    this.carried = step;
    if (this.follows) {
      this.followThrough(step, ends, turning);
      if (ripple) {
        this.followRipple(step, ripple.place, ripple.inPhase);
        this.followRipple(step, ripple.place + 1, ripple.behind);
      }
    }
    if (stands) this.setOff(stepS, before);
    else if (this.emfV !== 0 && emfV * this.emfV <= 0) {
      this.stand();
      this.carried = { current: step.current, emf: NOTHING };
    } else this.emfV = emfV;
  }

  /**
   * Frees the state behind a row, by the parameter at `place`; the entry before has died away by now, or dies here.
   * @param way of a motor that is driven there: it does not turn against it
   */
  enter(place: number, isEmf: boolean, way = 0): void {
    this.leaveEntries();
    const by = sampleAt(this.parameters, place);
    if (isEmf) this.emfV += by;
    else this.currentA += by;
    (isEmf ? this.emfBy : this.currentBy)[place] = 1;
    this.live = place + 1;
    if (isEmf && this.emfV * way < 0) this.stand();
    this.isEmfEntry = isEmf;
    this.followedRows = 0;
  }

  /** Leaves an entry that has died away. */
  fade(): void {
    if (this.live > this.fixed && !this.isEmfEntry && ++this.followedRows > FOLLOWED_ROWS) {
      this.leaveEntries();
      this.live = this.fixed;
    }
  }

  private leaveEntries(): void {
    this.currentBy.fill(0, this.fixed);
    this.emfBy.fill(0, this.fixed);
  }

  private readAs(readA: number): void {
    this.currentA = readA - sampleAt(this.parameters, CURRENT_OFFSET);
    this.currentBy.fill(0);
    this.currentBy[CURRENT_OFFSET] = -1;
  }

  private stand(): void {
    this.emfV = 0;
    this.emfBy.fill(0, 0, this.live);
  }

  /** Back-EMF alone, driven by a known current of this mean, which moves with `byOffset` of the reading's offset. */
  private coast(stepS: number, meanA: number, byOffset: number): void {
    const { capacitanceF, conductanceS, coulombA } = this.motor;
    const e = this.emfV;
    const side = e !== 0 ? Math.sign(e) : Math.abs(meanA) > coulombA ? Math.sign(meanA) : 0;
    const perC = stepS / capacitanceF;
    const x = conductanceS * perC;
    const decay = Math.exp(-x);
    const isSmall = Math.abs(x) < SMALL_DECAY;
    const held = isSmall ? perC * (1 - x / 2 + (x * x) / 6) : (1 - decay) / conductanceS;
    const heldByG = isSmall ? perC * perC * (-0.5 + x / 3) : (decay * perC - held) / conductanceS;
    const net = meanA - coulombA * side;
    const next = decay * e + held * net;
    this.carried = NO_ENTRIES;
    if (side === 0 || (e !== 0 && next * e <= 0)) {
      this.stand();
      return;
    }
    const by = this.emfBy;
    for (let p = 0; p < this.live; p++) by[p] = decay * sampleAt(by, p);
    by[LN_C] = sampleAt(by, LN_C) + decay * x * e - decay * perC * net;
    by[CONDUCTANCE] = sampleAt(by, CONDUCTANCE) - decay * perC * e + heldByG * net;
    addTo(by, COULOMB, -held * side * this.coulombMoves);
    addTo(by, CURRENT_OFFSET, -held * byOffset);
    this.carried = { current: NOTHING, emf: { ...NOTHING, e: decay } };
    this.emfV = next;
  }

  /** Takes the current over the step on that side of the brushes' knee where it ends: it rules where the knee is passed at once. */
  private acrossKnee(stepS: number, stands: boolean): MotorStep {
    const { brushDropV } = this.motor;
    const drive = this.drive;
    const below = Math.abs(drive.i) <= this.kneeA && brushDropV > 0;
    this.side = below ? 0 : Math.sign(drive.i);
    drive.drop = brushDropV * this.side;
    const step = this.stepFor(stepS, stands, below);
    const next = through(step.current, drive);
    this.currentA = next;
    const passes = below ? Math.abs(next) > PASSED_KNEES * this.kneeA : brushDropV > 0 && next * drive.i < 0;
    if (!passes) return step;
    this.side = below ? Math.sign(next) : 0;
    drive.drop = brushDropV * this.side;
    const beyond = this.stepFor(stepS, stands, !below);
    this.currentA = through(beyond.current, drive);
    return beyond;
  }

  private stepFor(stepS: number, stands: boolean, belowKnee: boolean): MotorStep {
    const key = Math.round(stepS * 1e9) * 4 + (stands ? 1 : 0) + (belowKnee ? 2 : 0);
    let step = this.steps.get(key);
    if (!step) {
      step = motorStep(this.motor, this.kneeA, stepS, { stands, belowKnee });
      this.steps.set(key, step);
    }
    return step;
  }

  private followThrough({ current, emf, slopes }: MotorStep, { w0, w1 }: StepEnds, turning: number): void {
    const { currentBy, emfBy } = this;
    const { i: p00, e: p01 } = current;
    const { i: p10, e: p11 } = emf;
    for (let p = 0; p < this.live; p++) {
      const a = sampleAt(currentBy, p);
      const b = sampleAt(emfBy, p);
      currentBy[p] = p00 * a + p01 * b;
      emfBy[p] = p10 * a + p11 * b;
    }
    for (let p = 0; p < slopes.length; p++) {
      const by = slopes[p];
      if (!by || (p === DROP && this.dropMoves === 0)) continue;
      addTo(currentBy, p, through(by.current, this.drive));
      addTo(emfBy, p, through(by.emf, this.drive));
    }
    const dropBy = -this.side * this.dropMoves;
    const frictionBy = -turning * this.coulombMoves;
    addTo(currentBy, DROP, current.drop * dropBy);
    addTo(emfBy, DROP, emf.drop * dropBy);
    addTo(currentBy, COULOMB, current.braking * frictionBy);
    addTo(emfBy, COULOMB, emf.braking * frictionBy);
    addTo(currentBy, VOLTAGE_OFFSET, current.u0 + current.u1);
    addTo(emfBy, VOLTAGE_OFFSET, emf.u0 + emf.u1);
    addTo(currentBy, GAIN_GAP, current.u0 * w0 + current.u1 * w1);
    addTo(emfBy, GAIN_GAP, emf.u0 * w0 + emf.u1 * w1);
  }

  private followRipple({ current, emf }: StepEntries, place: number, { v0, v1, torqueA }: RippleShare): void {
    addTo(this.currentBy, place, current.braking * torqueA - current.u0 * v0 - current.u1 * v1);
    addTo(this.emfBy, place, emf.braking * torqueA - emf.u0 * v0 - emf.u1 * v1);
  }

  /** A shaft that stood over the step sets off within it: the net drive rises from nothing, so e = h over^2 / (2 C rise). */
  private setOff(stepS: number, before: number): void {
    this.stand();
    const over = Math.abs(this.currentA) - this.motor.coulombA;
    if (!(over > 0)) return;
    const way = Math.sign(this.currentA);
    const rise = Math.max(Math.abs(this.currentA) - before * way, over);
    const scale = stepS / (2 * this.motor.capacitanceF);
    this.emfV = (way * scale * over * over) / rise;
    if (!this.follows) return;
    const byI = scale * ((2 * over) / rise - (over / rise) ** 2);
    for (let p = 0; p < this.live; p++) this.emfBy[p] = byI * sampleAt(this.currentBy, p);
    addTo(this.emfBy, LN_C, -this.emfV);
    addTo(this.emfBy, COULOMB, -way * scale * ((2 * over) / rise) * this.coulombMoves);
  }
}
