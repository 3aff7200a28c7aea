// Wire: what it drops at its temperature and what it carries. Where a size is told in mm2 its resistance is the standard's
// most for flexible copper, where in AWG that of the smallest cross-section sold under that number.

import { COIL_REFERENCE_C, copperFactor } from '../circuit/index.js';
import { awgAreaMm2 } from '../tell/index.js';
import { bySize } from './by-size.js';

export interface WireSize {
  areaMm2?: number | undefined;
  awg?: number | undefined;
  /** By its own sheet, in place of the tables here. */
  carryA?: number | undefined;
  /** At 20 C, in the same way. */
  resistanceOhmPerM?: number | undefined;
}

/** Most resistance at 20 C by mm2, mOhm/m: IEC 60228:2004, plain copper, class 5. */
const CLASS_5: readonly (readonly [areaMm2: number, mohmPerM: number])[] = [
  [0.5, 39],
  [0.75, 26],
  [1, 19.5],
  [1.5, 13.3],
  [2.5, 7.98],
  [4, 4.95],
  [6, 3.3],
];
/** Standard annealed copper, IEC 60028: 58 MS/m. */
const RESISTIVITY_OHM_MM2_PER_M = 1 / 58;
/**
 * Wire for vehicles may have less copper than its AWG number says: 5833 circular mils of 12 for 6529 (from memory). With
 * that a published worked example comes out as printed: 10 A, 21 ft, 12 V, 3 %: 10; 10 %: 16.
 */
const LEAST_PART_OF_AWG = 5833 / 6529;
/** More of it than class 5 has over ideal copper between its rows. */
const STRANDING = 1.16;

/** Chassis wiring, current by AWG: table of a university's physics pages, column of the most current. */
const CHASSIS_A: readonly (readonly [awg: number, mostA: number])[] = [
  [10, 55],
  [12, 41],
  [14, 32],
  [16, 22],
  [18, 16],
  [20, 11],
  [22, 7],
];

/** Wires in the one measure and in the other, thinnest first. */
export const metricWires = <W extends WireSize>(wires: readonly W[]): W[] =>
  bySize(
    wires.filter(({ areaMm2 }) => areaMm2 !== undefined),
    ({ areaMm2 = 0 }) => areaMm2,
  );
export const gaugeWires = <W extends WireSize>(wires: readonly W[]): W[] =>
  bySize(
    wires.filter(({ awg }) => awg !== undefined),
    ({ awg = 0 }) => -awg,
  );

/** @throws RangeError for a size without number */
export function wireOhmPerM({ areaMm2, awg, resistanceOhmPerM }: WireSize, temperatureC: number): number {
  const warm = copperFactor(COIL_REFERENCE_C, temperatureC);
  if (resistanceOhmPerM !== undefined) return warm * resistanceOhmPerM;
  if (awg !== undefined) return (warm * RESISTIVITY_OHM_MM2_PER_M) / (LEAST_PART_OF_AWG * awgAreaMm2(awg));
  if (areaMm2 === undefined) throw new RangeError('wireOhmPerM: give areaMm2 or awg');
  const listed = CLASS_5.find(([listedMm2]) => listedMm2 === areaMm2)?.[1];
  return warm * (listed === undefined ? (STRANDING * RESISTIVITY_OHM_MM2_PER_M) / areaMm2 : listed / 1000);
}

/** By its own sheet, else of the largest listed AWG size that is no larger; 0 below the smallest, for nothing is known of it. */
export function wireCapacityA({ areaMm2, awg, carryA }: WireSize): number {
  if (carryA !== undefined) return carryA;
  const mm2 = areaMm2 ?? (awg === undefined ? 0 : awgAreaMm2(awg));
  return CHASSIS_A.find(([listed]) => awgAreaMm2(listed) <= mm2 * (1 + 1e-9))?.[1] ?? 0;
}

/** Wires one after the other. */
export interface Loop {
  /** Out and back, all of it. */
  wireM: number;
  temperatureC: number;
}

export const loopDropV = (size: WireSize, { wireM, temperatureC }: Loop, currentA: number): number =>
  wireM * wireOhmPerM(size, temperatureC) * currentA;

/** What a wire is asked for. */
export interface WireNeed extends Loop {
  currentA: number;
  /** The fuse ahead of it, or the current where there is none. */
  carriesA: number;
  mostDropV: number;
}

/** First of `sizes` that neither drops too much nor gets too hot; undefined where none does. */
export const smallestWire = <W extends WireSize>(sizes: readonly W[], need: WireNeed): W | undefined =>
  sizes.find(
    (size) => wireCapacityA(size) >= need.carriesA && loopDropV(size, need, need.currentA) <= need.mostDropV,
  );
