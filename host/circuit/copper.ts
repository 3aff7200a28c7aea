// Copper and magnet numbers that wires, coils and motors share, and the temperatures at which they are given.

/** Standard annealed copper at 20 C: 58 MS/m (IEC 60028). */
export const COPPER_RESISTIVITY_OHM_MM2_PER_M = 1 / 58;
/** Temperature coefficient of resistance at constant mass, at 20 C (IEC 60028). */
const COPPER_COEFFICIENT_PER_K = 0.00393;
/** Ferrite remanence, about -0.2 % per kelvin. Value from memory. */
const FERRITE_COEFFICIENT_PER_K = -0.002;
/** Temperature at which the numbers of copper hold, and a coil's resistance is given (IEC 60028, relay sheets). */
export const COIL_REFERENCE_C = 20;
/** Temperature at which a motor's resistance and constants are given. Common practice of motor sheets, no source. */
export const MOTOR_REFERENCE_C = 25;

/** Ratio of a copper resistance at `toC` to that at `fromC`. */
export function copperFactor(fromC: number, toC: number): number {
  const at = (temperatureC: number) => 1 + COPPER_COEFFICIENT_PER_K * (temperatureC - COIL_REFERENCE_C);
  return at(toC) / at(fromC);
}

/** Ratio of a ferrite motor's flux at `toC` to that at `fromC`. */
export function ferriteFactor(fromC: number, toC: number): number {
  return 1 + FERRITE_COEFFICIENT_PER_K * (toC - fromC);
}

interface TemperedMotor {
  resistanceOhm: number;
  backEmfVsPerRad: number;
  torqueNmPerA: number;
}

/** What of a motor moves with its temperature, at `temperatureC`; `motor` is given at MOTOR_REFERENCE_C. */
export function motorAt(motor: TemperedMotor, temperatureC: number): TemperedMotor {
  const flux = ferriteFactor(MOTOR_REFERENCE_C, temperatureC);
  return {
    resistanceOhm: motor.resistanceOhm * copperFactor(MOTOR_REFERENCE_C, temperatureC),
    backEmfVsPerRad: motor.backEmfVsPerRad * flux,
    torqueNmPerA: motor.torqueNmPerA * flux,
  };
}
