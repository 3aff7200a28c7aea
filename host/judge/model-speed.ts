// The shaft's speed that belongs to the levels of a simulated throw, where a profile tells segments and so a run's ripple
// tells its speed: what is left of the voltage behind resistance and brushes, over the back-EMF constant.

import { copperFactor, ferriteFactor, type UnitCircuitInput } from '../circuit/index.js';
import { type Measured, quantityOf } from '../measure/index.js';

/** Temperature at which a motor profile's values hold, C. */
const REFERENCE_C = 25;

/** `forwardSpeedRpm` and so on, of the throws that have running levels. */
export function modelSpeeds(
  measured: Measured,
  { motor, temperatureC }: Pick<UnitCircuitInput, 'motor' | 'temperatureC'>,
): Measured {
  const resistanceOhm = motor.resistanceOhm * copperFactor(REFERENCE_C, temperatureC);
  const backEmfVsPerRad = motor.backEmfVsPerRad * ferriteFactor(REFERENCE_C, temperatureC);
  const speeds: Measured = {};
  for (const [key, current] of Object.entries(measured)) {
    const name = /^((?:forward|reverse)\d*)RunningCurrentA$/.exec(key)?.[1];
    const voltage = name && measured[`${name}MotorVoltageV`];
    if (!name || !voltage) continue;
    const emfV = Math.abs(voltage.value) - current.value * resistanceOhm - motor.brushDropV;
    const rpm = (60 * emfV) / (2 * Math.PI * backEmfVsPerRad);
    speeds[`${name}SpeedRpm`] = quantityOf(Math.max(0, rpm), 'rpm', []);
  }
  return speeds;
}
