// Which of speed column, ripple and told inertia gives the back-EMF constant, and what it then depends on.

import { sampleAt } from '../../arrays/index.js';
import { ripplesPerTurn } from '../../profile/index.js';
import { keFromRipple } from './motor-ke.js';
import { LN_C, LN_KE } from './motor-parameters.js';
import type { QuantityInput } from './motor-quantities.js';

/** Derivatives by parameter place. */
export type Gradient = Readonly<Record<number, number>> | Float64Array;

export interface Constant {
  value: number;
  gradient: Gradient;
  relative: number[];
  voltage: number;
  current: number;
  time: number;
  isFromInertia: boolean;
  note: string;
}

/** Voltage over speed. */
const BY_SPEED = { voltage: 1, current: 0, time: 0, isFromInertia: false };

export function backEmfConstant(
  { parameters, rows, response, options, speed, running }: QuantityInput,
  ratio: number,
  ratioPart: number,
  capacitanceF: number,
): Constant | undefined {
  if (speed) {
    const value = Math.exp(sampleAt(parameters, LN_KE));
    return {
      value,
      gradient: { [LN_KE]: value },
      ...BY_SPEED,
      relative: [],
      note: 'The back-EMF constant comes from the speed column, taken as exact in scale.',
    };
  }
  const { segments, inertiaKgM2 } = options.motor ?? {};
  const perTurn =
    options.motor?.ripplesPerTurn ?? (segments === undefined ? undefined : ripplesPerTurn(segments));
  if (perTurn !== undefined) {
    const ripple = keFromRipple(rows, response, parameters, perTurn, running);
    if (ripple) {
      return {
        value: ripple.backEmfVsPerRad,
        gradient: ripple.gradient,
        relative: [ripple.frequencyUncertainty / ripple.backEmfVsPerRad],
        ...BY_SPEED,
        time: 1,
        note: `The back-EMF constant comes from ripple in ${ripple.throws} throw${ripple.throws > 1 ? 's' : ''} at ${segments ?? perTurn} a turn.`,
      };
    }
  }
  if (inertiaKgM2 !== undefined) {
    const value = Math.sqrt(inertiaKgM2 / (capacitanceF * ratio));
    return {
      value,
      gradient: { [LN_C]: -value / 2 },
      relative: [ratioPart / 2],
      voltage: 0.5,
      current: -0.5,
      time: -0.5,
      isFromInertia: true,
      note: 'The back-EMF constant comes from the told inertia, taken as exact.',
    };
  }
  return undefined;
}
