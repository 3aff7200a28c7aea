// The shaft's speed that belongs to the levels of a simulated throw, where a profile tells segments and so a run's ripple
// tells its speed: what is left of the voltage behind resistance and brushes, over the back-EMF constant.

import { motorAt, type UnitCircuitInput } from '../circuit/index.js';
import { type Measured, puttingInto, quantityOf, readingOf } from '../measure/index.js';

/** Adds the speed of every throw that has running levels. */
export function addModelSpeeds(
  measured: Measured,
  { motor, temperatureC }: Pick<UnitCircuitInput, 'motor' | 'temperatureC'>,
): void {
  const { resistanceOhm, backEmfVsPerRad } = motorAt(motor, temperatureC);
  for (const { what, of, value: currentA } of Object.values(measured)) {
    const voltage = what === 'runningCurrentA' ? readingOf(measured, 'motorVoltageV', of) : undefined;
    if (!voltage) continue;
    const emfV = Math.abs(voltage.value) - currentA * resistanceOhm - motor.brushDropV;
    const rpm = (60 * emfV) / (2 * Math.PI * backEmfVsPerRad);
    puttingInto(measured, of)('speedRpm', quantityOf(Math.max(0, rpm), 'rpm', []));
  }
}
