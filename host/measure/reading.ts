// A reading: a quantity of the catalogue, read from one stretch of the run, or from the run as a whole.

import { capitalised } from '../tell/index.js';
import { QUANTITIES, QUANTITY_NAMES, type QuantityKind, type QuantityName } from './quantities.js';
import type { Quantity } from './quantity.js';
import { allStretches, LIMITED_REST, REST, type RunStretch } from './run-stretch.js';

export interface Reading extends Quantity {
  what: QuantityName;
  /** Absent for what is told of the run as a whole. */
  of?: RunStretch;
}

/**
 * What one run told. Keys are made by `keyOf` alone and are those of `measure --json`: `forwardInrushPeakA`,
 * `restLeadAVoltageV`. What was not measured is absent.
 */
export type Measured = Record<string, Reading>;

/** Quantities of the run as a whole, or of a motor, on their way to become readings. */
export type Told = Partial<Record<QuantityName, Quantity>>;

/** The key of a reading in JSON and in the record. */
export const keyOf = (what: QuantityName, of?: RunStretch): string =>
  of === undefined ? what : `${of.id}${capitalised(what)}`;

/** Stretches of a run that are told of one by one; a plan of more throws repeats itself. */
const MOST_NTH = 24;
let known: Map<string, Pick<Reading, 'what' | 'of'>> | undefined;

/** What a key of the record stands for; undefined where this program knows no such reading. */
export function keyRead(key: string): Pick<Reading, 'what' | 'of'> | undefined {
  known ??= new Map(
    [undefined, ...allStretches(MOST_NTH)].flatMap((of) =>
      QUANTITY_NAMES.map((what) => [keyOf(what, of), { what, ...(of === undefined ? {} : { of }) }] as const),
    ),
  );
  return known.get(key);
}

export const readingOf = <Q extends object = Reading>(
  measured: Readonly<Record<string, Q>>,
  what: QuantityName,
  of?: RunStretch,
): Q | undefined => measured[keyOf(what, of)];

/** Whether forward was not told from reverse in the capture that these were read from. */
export const isWayUntold = (measured: Readonly<Measured>): boolean =>
  Object.values(measured).some(({ of }) => of?.isWayUntold);

export type Put = <Q extends Quantity | undefined>(what: QuantityName, quantity: Q) => Q;

/** Puts readings of one stretch into `measured`; what is undefined was not measured. Gives back what it is given. */
export const puttingInto =
  (measured: Measured, of?: RunStretch): Put =>
  (what, quantity) => {
    if (quantity) measured[keyOf(what, of)] = { ...quantity, what, ...(of === undefined ? {} : { of }) };
    return quantity;
  };

/** `told` without what was not measured. */
export const present = (told: { [K in QuantityName]?: Quantity | undefined }): Told =>
  Object.fromEntries(Object.entries(told).filter(([, quantity]) => quantity !== undefined));

export function putAll(put: Put, told: Told): void {
  for (const what of QUANTITY_NAMES) put(what, told[what]);
}

/**
 * What a supply that nobody sampled may be, against that of a profile's bench: a battery, a charger or a bench supply of
 * 10.8 to 14.8 V against 13 V (common practice, no source).
 */
export const UNSEEN_SUPPLY = { least: 10.8 / 13, most: 14.8 / 13 };

/** The supply before anything drew on it. */
export const unloadedSupply = <Q extends object = Reading>(
  measured: Readonly<Record<string, Q>>,
): Q | undefined =>
  readingOf(measured, 'supplyVoltageV', REST) ?? readingOf(measured, 'supplyVoltageV', LIMITED_REST);

export const kindOf = ({ what }: Pick<Reading, 'what'>): QuantityKind => QUANTITIES[what];
