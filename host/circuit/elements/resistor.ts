// Resistor, and the copper wire that is one in the matrix.

import type * as z from 'zod';
import { awgAreaMm2 } from '../../tell/index.js';
import { COIL_REFERENCE_C, COPPER_RESISTIVITY_OHM_MM2_PER_M, copperFactor } from '../copper.js';
import type { Layout } from '../solver/layout.js';
import { anyNumber, elementKind, elementSchema, ends, positive } from './kind.js';
import { Conductor } from './two-ended.js';

const resistorSchema = elementSchema('resistor', { ...ends, resistanceOhm: positive });
/** Copper wire; the resistance follows IEC 60028 resistivity and temperature coefficient. */
const wireSchema = elementSchema('wire', {
  ...ends,
  lengthM: positive,
  /** Cross-section, or the AWG size of solid wire: exactly one of the two. */
  areaMm2: positive.optional(),
  awg: anyNumber.optional(),
  temperatureC: anyNumber,
});
export type ResistorElement = z.infer<typeof resistorSchema>;
export type WireElement = z.infer<typeof wireSchema>;

export class ResistorPart extends Conductor {
  readonly #siemens: number;

  constructor(ends: Pick<ResistorElement, 'id' | 'a' | 'b'>, resistanceOhm: number, layout: Layout) {
    super(ends, layout);
    this.#siemens = 1 / resistanceOhm;
  }
  protected siemens(): number {
    return this.#siemens;
  }
}

/**
 * Resistance of a copper wire by length, cross-section or AWG size, and temperature.
 * @throws RangeError when neither size is given.
 */
export function wireResistanceOhm(
  wire: Pick<WireElement, 'lengthM' | 'areaMm2' | 'awg' | 'temperatureC'>,
): number {
  const { lengthM, areaMm2, awg, temperatureC } = wire;
  const ownMm2 = areaMm2 ?? (awg === undefined ? undefined : awgAreaMm2(awg));
  if (ownMm2 === undefined) throw new RangeError('wireResistanceOhm: give areaMm2 or awg');
  const coldOhm = (COPPER_RESISTIVITY_OHM_MM2_PER_M * lengthM) / ownMm2;
  return coldOhm * copperFactor(COIL_REFERENCE_C, temperatureC);
}

export const resistor = elementKind(resistorSchema, {
  parts: (element, layout) => [new ResistorPart(element, element.resistanceOhm, layout)],
});
export const wire = elementKind(wireSchema, {
  together: ({ areaMm2, awg }) =>
    (areaMm2 === undefined) === (awg === undefined)
      ? { quantity: 'areaMm2', value: areaMm2, right: 'its size once, as areaMm2 or as awg' }
      : undefined,
  parts: (element, layout) => [new ResistorPart(element, wireResistanceOhm(element), layout)],
});
