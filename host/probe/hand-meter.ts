// What a hand meter, or the rig's own converter, is good to, and what its display makes of a value.

/** Ranges of a hand meter, and the rig's channel of a lead. */
export type Range = 'volts' | 'ohms' | 'diode' | 'rig-volts';

interface Accuracy {
  part: number;
  floor: number;
  step: number;
  /** From here on it shows open. */
  open: number;
}

/**
 * Standard uncertainty as a part of the reading and a floor; steps of the display. Ohms: 1 % and 0.3 Ohm of its leads, 0.1 Ohm a
 * step; volts and diode range: common data sheet figures; the rig's: two counts of its divider.
 */
const ACCURACY: Record<Range, Accuracy> = {
  volts: { part: 0.005, floor: 0.02, step: 0.01, open: Number.POSITIVE_INFINITY },
  ohms: { part: 0.01, floor: 0.3, step: 0.1, open: 2e6 },
  diode: { part: 0.01, floor: 0.005, step: 0.001, open: 1.95 },
  'rig-volts': { part: 0.005, floor: 0.05, step: 0.001, open: Number.POSITIVE_INFINITY },
};

export const unitOf = (range: Range): 'V' | 'Ohm' => (range === 'ohms' ? 'Ohm' : 'V');

/** Standard uncertainty, in the unit of the range, of a meter that shows `value`. */
export function meterUncertainty(range: Range, value: number): number {
  const { part, floor } = ACCURACY[range];
  return Math.hypot(part * value, floor);
}

/** As displayed: rounded to its steps; Infinity where it shows open. */
export function displayed(range: Range, value: number): number {
  const { step, open } = ACCURACY[range];
  return value >= open ? Number.POSITIVE_INFINITY : Math.round(value / step) * step;
}
