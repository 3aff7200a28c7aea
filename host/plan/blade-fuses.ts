// Blade fuses: what the ambient leaves of one, when one opens. Gates are what a sheet promises, both
// ends; between two of its rows the quicker row gives the earliest time, the slower one the latest.

/**
 * Continuous load of a fuse: at most 75 % of its rating at 25 C (a fuse maker's selection guide, from memory). A published
 * page of fuse ratings says 80 %; the safer of the two is taken.
 */
export const CONTINUOUS_PART = 0.75;

interface Gate {
  percent: number;
  leastS: number;
  /** Absent where it may carry that for good. */
  mostS?: number;
}
/**
 * Rows of 135, 200, 350 and 600 %: sheet of a standard blade of 35 and 40 A after ISO 8820-3, with the shorter of the
 * least times that the standard has from memory for smaller ones (350 %: 0.04 s; 600 %: 0.02 s). Row of 160 %: sheet of
 * the 10 A blade. Below 110 % it must last 100 hours (ISO 8820-3, from memory).
 */
const GATES: readonly Gate[] = [
  { percent: 110, leastS: 360_000 },
  { percent: 135, leastS: 0.75, mostS: 600 },
  { percent: 160, leastS: 0.25, mostS: 50 },
  { percent: 200, leastS: 0.15, mostS: 5 },
  { percent: 350, leastS: 0.04, mostS: 0.5 },
  { percent: 600, leastS: 0.02, mostS: 0.15 },
];

export interface OpeningBand {
  /** Infinite up to 110 %. */
  leastS: number;
  /** Infinite where the gates do not promise that it opens. */
  mostS: number;
}

/** What solving leaves open of a current: 30 A on 15 A stand on the row of 200 %, whichever side they are solved on. */
const AS_SOLVED_PART = 0.0005;

/** When a blade fuse of `ratedA` opens that carries `currentA`. */
export function openingBand(ratedA: number, currentA: number): OpeningBand {
  const carried = (100 * currentA) / ratedA;
  const row = GATES.find((gate) => Math.abs(carried - gate.percent) <= AS_SOLVED_PART * gate.percent);
  const percent = row?.percent ?? carried;
  const slower = GATES.findLast((gate) => gate.percent <= percent);
  const quicker = GATES.find((gate) => gate.percent >= percent);
  const mostS = slower?.mostS ?? Number.POSITIVE_INFINITY;
  if (percent <= 110) return { leastS: Number.POSITIVE_INFINITY, mostS };
  return { leastS: quicker?.leastS ?? 0, mostS };
}

/**
 * Earliest that a fuse opens on a current that is over in moments, taken on straight lines between the rows on logarithmic
 * paper, as such curves are drawn: with the steps of the gates no fuse near its rating would bear a motor's start.
 */
export function quickestS(ratedA: number, currentA: number): number {
  const percent = (100 * currentA) / ratedA;
  const slower = GATES.findLast((gate) => gate.percent <= percent);
  const quicker = GATES.find((gate) => gate.percent >= percent);
  if (slower === undefined) return Number.POSITIVE_INFINITY;
  if (quicker === undefined) return 0;
  if (quicker === slower) return slower.leastS;
  const way = Math.log(percent / slower.percent) / Math.log(quicker.percent / slower.percent);
  return slower.leastS * (quicker.leastS / slower.leastS) ** way;
}

/** Ambient in C and the part of its rating that a 40 A blade of the large size may carry: published sheet of it. */
const DERATING = [
  [20, 1],
  [65, 34 / 40],
  [85, 30 / 40],
  [110, 25 / 40],
  [125, 22 / 40],
] as const;

/** What of its rating a fuse may carry at an ambient; NaN above the sheet's last one, where nothing is promised. */
export function fusePart(ambientC: number): number {
  let [fromC, fromPart] = [-Infinity, 1];
  for (const [toC, toPart] of DERATING) {
    if (ambientC <= toC)
      return fromC === -Infinity
        ? toPart
        : fromPart + ((toPart - fromPart) * (ambientC - fromC)) / (toC - fromC);
    [fromC, fromPart] = [toC, toPart];
  }
  return Number.NaN;
}

/** Whether a load lasts, or a throw is over in seconds with pauses between. */
export type Duty = 'short' | 'continuous';

/** What a fuse bears: in short runs what is below its rating, else its continuous part of it; both less when it is hot. */
export const fuseCapacityA = (ratedA: number, duty: Duty, ambientC: number): number =>
  ratedA * fusePart(ambientC) * (duty === 'continuous' ? CONTINUOUS_PART : 1);

/** Smallest of the ratings, in rising order, whose capacity lies above the current; undefined where none does. */
export const smallestFuseA = (
  ratingsA: readonly number[],
  currentA: number,
  duty: Duty,
  ambientC: number,
): number | undefined => ratingsA.find((ratedA) => fuseCapacityA(ratedA, duty, ambientC) > currentA);
