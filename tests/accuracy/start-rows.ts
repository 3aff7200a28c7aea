// Rows of `npm run accuracy` on starts that neither the virtual rig nor the measuring made: currents that creep, ripple
// and dip in records of 0.3 to 5 s, and motors solved by SPICE. Seeds and decks are others than those that the constants
// of host/measure were looked at with (1000, 2000 and 880001, 930017 of the decks; 11 and 501 of SPICE).

import { seededRandom } from '../../host/circuit/index.js';
import { fitMotor, measure, type Quantity, type QuantityName } from '../../host/measure/index.js';
import { loadUnit } from '../../host/profile/index.js';
import { creepingStart, type Deck } from '../measure/creeping-starts.js';
import { readThrough } from '../measure/model-motors.js';
import { spiceMotor } from '../references/spice-motors.js';

export const START_SEEDS = [61_001, 72_009];
const STARTS = 250;
const SPICE_MOTORS = 48;
const RIG = { ...loadUnit('entry-step-relays').rig, clockUncertaintyPercent: 0.5 / Math.sqrt(3) };

const DECKS: Readonly<Record<string, Deck>> = {
  'creeping, one or a line': { ripple: 'sine', creep: 'one' },
  'creeping, two, saw': { ripple: 'saw', creep: 'two' },
  'creeping and dipped': { ripple: 'saw', creep: 'one', dips: true },
};

export interface StartRow {
  name: string;
  told: number;
  held: number;
  /** Half-widths of the intervals as parts of the value. */
  halfWidths: number[];
}

class Rows {
  readonly all = new Map<string, StartRow>();

  add(name: string, quantity: Quantity | undefined, truth: number): void {
    if (!quantity) return;
    const row = this.all.get(name) ?? { name, told: 0, held: 0, halfWidths: [] };
    this.all.set(name, row);
    row.told++;
    if (Math.abs(quantity.value - truth) <= quantity.expandedUncertainty) row.held++;
    row.halfWidths.push(quantity.expandedUncertainty / Math.abs(quantity.value));
  }
}

const FITTED = ['resistanceOhm', 'backEmfVsPerRad', 'frictionAtRunA', 'inductanceH', 'inertiaKgM2'] as const;

/** Of one seed. */
export async function startRows(seed: number): Promise<StartRow[]> {
  const rows = new Rows();
  for (const [name, deck] of Object.entries(DECKS)) {
    for (let index = 0; index < STARTS; index++) {
      const { capture, truth, lengthS } = creepingStart(seed, index, deck);
      const running = measure(capture).measured.forwardRunningCurrentA;
      rows.add(`${name}: at the end`, running, truth.atEndA);
      rows.add(`${name}: last tenth`, running, truth.lastTenthA);
      if (lengthS < 0.6) rows.add(`${name}: under 0.6 s`, running, truth.atEndA);
    }
  }
  for (let index = 0; index < SPICE_MOTORS; index++) {
    const shape = { leadIn: index % 2 === 0, bothWays: index % 4 < 2, dips: index % 3 === 0 };
    const motor = await spiceMotor(seed, index, { ...shape, release: index % 8 < 4 ? 'coast' : 'brake' });
    const capture = readThrough(motor.capture, RIG, seededRandom(seed + index));
    const speed = Array.from(motor.speedRadS, (w) => w.toFixed(2));
    const read = index % 3 === 2 ? { ...capture, extraColumns: { speed_rad_s: speed } } : capture;
    const told = index % 3 === 1 ? { motor: { segments: motor.segments } } : {};
    const { model } = fitMotor(read, { rig: RIG, ...told });
    for (const name of FITTED)
      rows.add(`SPICE ${name}`, model[name satisfies QuantityName], motor.truth[name]);
  }
  return [...rows.all.values()];
}

export const joinedRows = (seeds: readonly (readonly StartRow[])[]): StartRow[] => {
  const all = new Map<string, StartRow>();
  for (const row of seeds.flat()) {
    const sum = all.get(row.name) ?? { name: row.name, told: 0, held: 0, halfWidths: [] };
    all.set(row.name, {
      ...sum,
      told: sum.told + row.told,
      held: sum.held + row.held,
      halfWidths: [...sum.halfWidths, ...row.halfWidths],
    });
  }
  return [...all.values()];
};

const at = (sorted: readonly number[], part: number): number =>
  sorted[Math.min(sorted.length - 1, Math.floor(part * sorted.length))] ?? Number.NaN;

export function startLines(rows: readonly StartRow[]): string[] {
  const head = `${'start'.padEnd(40)} ${'n'.padStart(4)}  coverage %  half-width %: median  90th`;
  const lines = rows.map(({ name, told, held, halfWidths }) => {
    const sorted = [...halfWidths].sort((a, b) => a - b);
    const percent = (value: number): string => (100 * value).toFixed(2);
    return `${name.padEnd(40)} ${String(told).padStart(4)} ${((100 * held) / told).toFixed(1).padStart(11)} ${percent(at(sorted, 0.5)).padStart(21)} ${percent(at(sorted, 0.9)).padStart(5)}`;
  });
  return [head, ...lines];
}

/** The promise is of 95 %; so few motors stray, by three deviations of a binomial, further than 92 to 98 %. */
export function missedRows(rows: readonly StartRow[]): string[] {
  return rows.flatMap(({ name, told, held }) => {
    const stray = 3 * Math.sqrt((0.95 * 0.05) / told);
    const [least, most] = [Math.min(0.92, 0.95 - stray), Math.max(0.985, 0.95 + stray)];
    const part = held / told;
    return part >= least && part <= most
      ? []
      : [`${name}: the 95 % interval holds in ${(100 * part).toFixed(1)} % of ${told}`];
  });
}
