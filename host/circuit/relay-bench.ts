// What lies between the rig's supply and the coil of a relay that is tested by itself, from the style's own elements.

import type { ResolvedUnit } from '../profile/index.js';
import { COIL_REFERENCE_C } from './copper.js';
import { wireResistanceOhm } from './elements/resistor.js';
import { wireElement } from './unit-parts.js';
import { COIL_PATH_OHM } from './unit-rig.js';

/** Part by which a 1 % resistor may be off, as a standard uncertainty (rectangular, GUM 4.3.7). */
const ONE_PERCENT_U = 0.01 / Math.sqrt(3);
/** Fuse, terminals and clips of the coil circuit, never measured. Common practice, no source. */
const PATH_U_OHM = 0.3;

export interface RelayBench {
  coilPath: { ohm: number; standardUncertainty: number };
  /** The resistor that the small test current runs through; absent when the style has none. */
  coilTest?: { ohm: number; standardUncertainty: number };
}

export function relayBench({ style, unit }: Pick<ResolvedUnit, 'style' | 'unit'>): RelayBench {
  const at = { wiring: unit.wiring, temperatureC: COIL_REFERENCE_C };
  const wireOhm = style.elements.reduce((sum, element) => {
    const isOfCoil = element.kind === 'wire' && (element.role === 'trigger' || element.role === 'coil-feed');
    return isOfCoil ? sum + wireResistanceOhm(wireElement(at, element)) : sum;
  }, 0);
  const test = style.elements.find(
    (element) =>
      element.kind === 'resistor' &&
      [element.a, element.b].some((node) => node === 'rig.trigger-forward' || node === 'rig.trigger-reverse'),
  );
  return {
    coilPath: { ohm: COIL_PATH_OHM + wireOhm, standardUncertainty: PATH_U_OHM },
    ...(test?.kind === 'resistor'
      ? { coilTest: { ohm: test.resistanceOhm, standardUncertainty: test.resistanceOhm * ONE_PERCENT_U } }
      : {}),
  };
}
