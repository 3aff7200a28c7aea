// The size of a wire as somebody typed it where it is asked for, kept as it was stated.

import { writtenNumber } from '../../profile/index.js';
import { formsNow, type StatedSize } from '../../tell/index.js';
import { gaugeTyped } from '../typed-units.js';

/** The gauges that there are: 0000 to 40. */
const GAUGES = { least: -3, most: 40 };

/**
 * The size of a wire as it was stated, `AWG 18` or `0.75 mm²`; what is wrong with it as text. A number alone is mm²; where
 * this workshop reads gauges a whole one is a gauge, and one with decimals might be either's mistake.
 */
export function wireTyped(
  text: string,
  { least, most }: { least: number; most: number },
  { wire } = formsNow(),
): StatedSize | string {
  const right = wire === 'AWG' ? 'type such as AWG 16, or 1.5 mm²' : 'type such as 1.5 mm², or AWG 16';
  const isAlone = /^\s*(\d+|\d+\/0)\s*$/.test(text);
  const awg = gaugeTyped(wire === 'AWG' && isAlone ? `AWG ${text.trim()}` : text);
  if (awg !== undefined)
    return awg >= GAUGES.least && awg <= GAUGES.most ? { awg } : `There is no ${text.trim()}: ${right}`;
  const areaMm2 = writtenNumber(text, 'mm²');
  if (typeof areaMm2 !== 'number') return `That is no size of a wire: ${right}`;
  if (wire === 'AWG' && /^[\d.,\s]*$/.test(text))
    return `${text.trim()} is no gauge: say ${text.trim()} mm² where that is meant`;
  if (areaMm2 < least || areaMm2 > most)
    return `${areaMm2} mm² cannot be right: ${least} to ${most} mm², such as 1.5 mm² or AWG 16`;
  return { areaMm2 };
}
