// What is declared of a build, and what is said of each of its parts.

import type { Parts } from '../profile/index.js';
import type { Carrier, CarrierKind } from './ammeters.js';
import type { Duty } from './blade-fuses.js';
import type { Carried } from './carried.js';
import type { WireSize } from './conductors.js';

export type Bearing = 'bears' | 'does-not-bear' | 'not-known';

/** What is declared of a build; a part of which nothing is said is not judged but sized. */
export interface Build {
  /** Of each switch that carries the motor, or else of the small one that throws the relays. */
  switchA?: number | undefined;
  fuseA?: number | undefined;
  coilFuseA?: number | undefined;
  /** Of the relays' contacts 30-87 and 30-87a. */
  makeA?: number | undefined;
  breakA?: number | undefined;
  /** One way; sizes of the wires that the style does not state itself. */
  wire: WireSize & { lengthM: number };
  /** Most that the loop may drop, per cent of the nominal voltage. */
  dropPercent: number;
  nominalVoltageV: number;
  /** Of the supply; parts that are not told for so much are not suggested. */
  systemV?: number;
  ambientC: number;
  duty: Duty;
  protector: { opensFromS: number; opensToS: number };
  /** What can be bought: what is suggested comes from there. */
  parts: Parts;
}

/** Least and most, where a current is only known as a range. */
export interface Demand {
  least: Carried;
  most: Carried;
}

export interface RatingRow {
  kind: CarrierKind | 'wire-drop';
  title: string;
  /** Ids of the elements that it speaks of; none of a drop, or of what no style names. */
  of: string[];
  /** In ampere; of a drop, in volt. */
  demand: Demand;
  /** Rated current as declared or taken, or the voltage that may be dropped; absent where nobody told it. */
  rated?: number;
  isDeclared: boolean;
  /** What it bears of that as it is used. */
  capacity?: number;
  /** Of the capacity over what it carries while running, per cent of the latter. */
  marginPercent?: number;
  bearing: Bearing;
  /** The rule in words, with where it comes from. */
  rule: string;
  source: string;
  /** Smallest standard size that bears it. */
  needs?: string;
  /** Parts of the list that bear it, the smallest of each kind; absent where none does. */
  suggested?: SuggestedPart[];
  /** Of a wire: the smallest for its ends. */
  terminal?: SuggestedPart;
  notes: string[];
}

/** A part by its own title, with where its numbers come from. */
export interface SuggestedPart {
  id: string;
  title: string;
  source: string;
}

/** Same parts, solved for the least and for the most of the motor's currents. */
export interface PlannedPart {
  carrier: Carrier;
  demand: Demand;
}
