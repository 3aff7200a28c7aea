// Copper and magnet numbers that wires and motors share.

/** Standard annealed copper at 20 C: 58 MS/m (IEC 60028). */
export const COPPER_RESISTIVITY_OHM_MM2_PER_M = 1 / 58;
/** Temperature coefficient of resistance at constant mass, at 20 C (IEC 60028). */
const COPPER_COEFFICIENT_PER_K = 0.00393;
/** Ferrite remanence, about -0.2 % per kelvin. Value from memory. */
const FERRITE_COEFFICIENT_PER_K = -0.002;

/** Ratio of a copper resistance at `toC` to that at `fromC`. */
export function copperFactor(fromC: number, toC: number): number {
  return (1 + COPPER_COEFFICIENT_PER_K * (toC - 20)) / (1 + COPPER_COEFFICIENT_PER_K * (fromC - 20));
}

/** Ratio of a ferrite motor's flux at `toC` to that at `fromC`. */
export function ferriteFactor(fromC: number, toC: number): number {
  return 1 + FERRITE_COEFFICIENT_PER_K * (toC - fromC);
}

/** Cross-section of an AWG size in mm2, d = 0.127 mm x 92^((36-n)/39) (ASTM B258). */
export function awgAreaMm2(awg: number): number {
  const diameterMm = 0.127 * 92 ** ((36 - awg) / 39);
  return (Math.PI / 4) * diameterMm * diameterMm;
}
