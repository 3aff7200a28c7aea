// A channel's reading in words, and its correction.

import { CHANNEL, type Channel } from '../capture/index.js';
import { fixed, quantityText, significant } from '../tell/index.js';

export const quantityOfChannel = (channel: Channel, value: number, expandedUncertainty: number): string =>
  quantityText({ value, unit: CHANNEL[channel].unit, expandedUncertainty });

/** What is reckoned with a reading; one sign before the zero. */
export const correctionWords = ({ zero, gain }: { zero: number; gain: number }): string =>
  `(reading ${zero < 0 ? '+' : '-'} ${significant(Math.abs(zero), 3)}) x ${fixed(gain, 4)}`;
