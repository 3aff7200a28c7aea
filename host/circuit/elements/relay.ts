// Changeover relay, terminals by DIN 72552: coil, armature, break and make contact.

import * as z from 'zod';
import type { Layout } from '../solver/layout.js';
import { LEAK_S, type Stamps } from '../solver/stamps.js';
import { Armature, BREAK_CLOSED, MAKE_CLOSED } from './armature.js';
import { bounces, elementKind, elementSchema, node, nonNegative, positive, type Wrong } from './kind.js';
import { Part } from './part.js';
import { RelayCoil } from './relay-coil.js';
import { differenceAt } from './two-ended.js';

const suppression = z.discriminatedUnion('kind', [
  z.strictObject({ kind: z.literal('none') }),
  z.strictObject({ kind: z.literal('resistor'), resistanceOhm: positive }),
  /** `anodeAt` tells which coil terminal the diode's anode is on; 85 is the usual one. */
  z.strictObject({ kind: z.literal('diode'), anodeAt: z.enum(['85', '86']), forwardVoltageV: positive }),
]);
/** Changeover relay, terminals by DIN 72552 as marked on a five-pin relay body; a missing terminal is absent. */
const schema = elementSchema('relay', {
  terminals: z.strictObject({
    '30': node,
    '85': node,
    '86': node,
    '87': node.optional(),
    '87a': node.optional(),
  }),
  coilResistanceOhm: positive,
  coilInductanceH: positive,
  /** Coil inductance with the armature pulled in, as a ratio of the open one; makes the armature dip. */
  closedInductanceRatio: positive,
  pullInCurrentA: positive,
  dropOutCurrentA: positive,
  /** From pull-in current reached to break contact open, and from there to make contact closed. */
  operateTravelS: nonNegative,
  releaseTravelS: nonNegative,
  /** Break contact open to make contact closed (and back). */
  transferS: positive,
  makeResistanceOhm: positive,
  breakResistanceOhm: positive,
  bounceS: bounces.optional(),
  suppression,
  /** `make`: 30-87 welded; `break`: 30-87a welded or armature stuck at rest. */
  stuck: z.enum(['make', 'break']).optional(),
});
export type RelayElement = z.infer<typeof schema>;

/** From terminal 30, closed in one state of the armature. */
interface RelayContact {
  node: number;
  closedIn: number;
  siemens: number;
}

const DIODE = 8;
const PULLED = 4;

export class RelayPart extends Part {
  override readonly hasGuard = true;
  override readonly isNonlinear: boolean;
  override readonly limitsStep: boolean;
  readonly #n30: number;
  readonly #contacts: readonly RelayContact[];
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
    this.#contacts = [
      { to: terminals['87'], closedIn: MAKE_CLOSED, siemens: 1 / element.makeResistanceOhm },
      { to: terminals['87a'], closedIn: BREAK_CLOSED, siemens: 1 / element.breakResistanceOhm },
    ].flatMap(({ to, ...contact }) => (to === undefined ? [] : [{ node: layout.node(to), ...contact }]));
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
  #siemens({ closedIn, siemens }: RelayContact): number {
    return this.#armature.contact === closedIn ? siemens : LEAK_S;
  }
  stamp(stamps: Stamps): void {
    this.#coil.stamp(stamps, this.#matrixH());
    for (const each of this.#contacts) stamps.conductance(this.#n30, each.node, this.#siemens(each));
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
    let sum = 0;
    for (const each of this.#contacts) sum += differenceAt(x, this.#n30, each.node) * this.#siemens(each);
    return sum;
  }
  override dissipatedW(x: Float64Array, timeS: number): number {
    const inductanceH = this.#inductanceH(timeS);
    const fluxA = this.#coil.fluxCurrentA(x, inductanceH);
    const { coilInductanceH, closedInductanceRatio } = this.element;
    const inductanceRate = coilInductanceH * (closedInductanceRatio - 1) * this.#armature.placeRate(timeS);
    let sum = this.#coil.dissipatedW(x, inductanceH) + (fluxA * fluxA * inductanceRate) / 2;
    for (const each of this.#contacts)
      sum += differenceAt(x, this.#n30, each.node) ** 2 * this.#siemens(each);
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

function together({ dropOutCurrentA, pullInCurrentA, suppression: across }: RelayElement): Wrong | undefined {
  if (dropOutCurrentA >= pullInCurrentA) {
    const right = `less than pullInCurrentA ${pullInCurrentA}`;
    return { quantity: 'dropOutCurrentA', value: dropOutCurrentA, right };
  }
  if (across.kind === 'resistor' && !(across.resistanceOhm > 0)) {
    return { quantity: 'suppression resistanceOhm', value: across.resistanceOhm, right: 'a number above 0' };
  }
  if (across.kind === 'diode' && !(across.forwardVoltageV >= 0)) {
    const right = 'a number of 0 or more';
    return { quantity: 'suppression forwardVoltageV', value: across.forwardVoltageV, right };
  }
  return undefined;
}

export const relay = elementKind(schema, {
  together,
  joinedAt: (element, change) => {
    const { '30': common, '85': minus, '86': plus, '87': make, '87a': rest } = element.terminals;
    const terminals: RelayElement['terminals'] = {
      '30': change(common, '30'),
      '85': change(minus, '85'),
      '86': change(plus, '86'),
    };
    if (make !== undefined) terminals['87'] = change(make, '87');
    if (rest !== undefined) terminals['87a'] = change(rest, '87a');
    return { ...element, terminals };
  },
  // The coil carries its own loss path, so cutting it is no cut.
  links: ({ terminals: { '30': common, '85': minus, '86': plus, '87': make, '87a': rest } }) => [
    { a: plus, b: minus },
    ...[make, rest].flatMap((b) => (b === undefined ? [] : [{ a: common, b, isAlways: false }])),
  ],
  parts: (element, layout) => [new RelayPart(element, layout)],
});
