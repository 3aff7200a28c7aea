// Readings and counts as words of steady width, so that live numbers do not dance.

import { CHANNEL, type Channel } from '../capture/index.js';
import { amount } from '../tell/index.js';

export { wrapWords } from '../tell/index.js';

/** `+12.3 A`, or `not seen` when there is no sample. */
export function reading(channel: Channel, value: number | undefined): string {
  if (value === undefined) return 'not seen';
  const { unit, decimals, isSigned } = CHANNEL[channel];
  const told = amount(value, unit, decimals);
  return `${isSigned && Number.parseFloat(told) > 0 ? '+' : ''}${told}`.padStart(8);
}
