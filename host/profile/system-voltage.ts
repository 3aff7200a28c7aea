// The systems of voltage that vehicles have.

/** Of nearly all that is sold, and of what says nothing. */
export const USUAL_SYSTEM_V = 12;

/**
 * Most that each system gives: ISO 16750-2, tables 1 and 2: 16 V of 12 V systems, 32 V of 24 V ones. Old vehicles have
 * 6 V, charged with up to 7.5 V: common practice, no source.
 */
export const SYSTEMS = [
  { nominalV: 6, mostV: 8 },
  { nominalV: 12, mostV: 16 },
  { nominalV: 24, mostV: 32 },
] as const;

/** The system that a supply is of, V; above the last one, the supply itself. */
export const systemOf = (supplyV: number): number =>
  SYSTEMS.find(({ mostV }) => supplyV <= mostV)?.nominalV ?? supplyV;

/** Of 12 V, 5 W, hot; a coil's tenth of an ampere leaves it dark. One of as many watts for another system has V squared. */
const LAMP_OHM = 29;
export const lampOhm = (systemV: number): number => LAMP_OHM * (systemV / USUAL_SYSTEM_V) ** 2;
