// A table of steady points of a motor, one a line: voltage, current, speed, and load torque where it was braked. Told
// from a capture by its header: a speed, and no times.

import { readFileSync } from 'node:fs';
import { resolve } from 'node:path';
import { itemAt } from '../arrays/index.js';
import { InputError } from '../input/index.js';
import { fitStatic, type StaticFit, type SteadyPoint } from '../measure/index.js';

const COLUMNS: Readonly<Record<string, readonly [keyof SteadyPoint, factor: number]>> = {
  voltage_v: ['voltageV', 1],
  current_a: ['currentA', 1],
  speed_rad_s: ['speedRadS', 1],
  speed_rpm: ['speedRadS', (2 * Math.PI) / 60],
  torque_nm: ['torqueNm', 1],
};
const NEEDED = ['voltageV', 'currentA', 'speedRadS'] as const;
/** No table of steady points is larger; captures are. */
const MOST_BYTES = 1_000_000;
/** The brushes' drop is parted from the resistance by points enough whose currents differ so much. Choices of this program, no source. */
const POINTS_FOR_DROP = 6;
const CURRENTS_APART = 3;

const ROUNDED = 'Voltages and currents count as rounded to the digits that the table gives them.';

/** The motor of the table in `file`; undefined when the file is none. @throws InputError */
export function steadyMotorIn(cwd: string, file: string): StaticFit | undefined {
  const table = tableOf(cwd, file);
  if (table === undefined) return undefined;
  const { points, rounding } = table;
  const sizes = points.map(({ currentA }) => Math.abs(currentA));
  const brushDrop =
    points.length >= POINTS_FOR_DROP && Math.max(...sizes) > CURRENTS_APART * Math.min(...sizes);
  try {
    const resistanceOhm = Math.abs(fitStatic(points, { brushDrop }).electrical.parameters[0] ?? 0);
    // Four points of rounded numbers may lie on their line by chance: rounding is the least that they are off by.
    const currentUncertaintyA = rounding.currentA / Math.sqrt(12);
    const voltageUncertaintyV = Math.hypot(
      rounding.voltageV / Math.sqrt(12),
      resistanceOhm * currentUncertaintyA,
    );
    const fit = fitStatic(points, { brushDrop, voltageUncertaintyV, currentUncertaintyA });
    return { ...fit, notes: [...fit.notes, ROUNDED] };
  } catch (error) {
    if (!(error instanceof RangeError)) throw error;
    const what = `${points.length} points do not tell resistance and back-EMF constant apart`;
    throw new InputError({
      file,
      what,
      mend: 'give points of different current and speed, one at standstill',
    });
  }
}

interface Table {
  points: SteadyPoint[];
  /** Step of the last digit that any cell of the column has. */
  rounding: Record<keyof SteadyPoint, number>;
}

function tableOf(cwd: string, file: string): Table | undefined {
  let bytes: Buffer;
  try {
    bytes = readFileSync(resolve(cwd, file));
  } catch {
    // A file that cannot be read is told of by who reads captures.
    return undefined;
  }
  if (bytes.length > MOST_BYTES) return undefined;
  const [header = '', ...lines] = bytes
    .toString('utf8')
    .replace(/^\uFEFF/, '')
    .split(/\r\n|\n|\r/);
  const separator = [',', ';', '\t'].find((sign) => header.includes(sign)) ?? ',';
  const cellsOf = (line: string): string[] => line.split(separator).map((cell) => cell.trim());
  const columns = cellsOf(header).map((name) => COLUMNS[name.toLowerCase()]);
  const has = (wanted: keyof SteadyPoint): boolean => columns.some((column) => column?.[0] === wanted);
  if (!NEEDED.every(has) || columns.includes(undefined)) return undefined;
  const rounding: Table['rounding'] = { voltageV: 1, currentA: 1, speedRadS: 1, torqueNm: 1 };
  const points = lines.flatMap((text, n): SteadyPoint[] => {
    if (text.trim() === '') return [];
    const point: SteadyPoint = { voltageV: 0, currentA: 0, speedRadS: 0 };
    const cells = cellsOf(text);
    columns.forEach((column, k) => {
      const [name, factor] = column ?? ['voltageV', 1];
      const value = Number(separator === ';' ? cells[k]?.replace(',', '.') : cells[k]);
      if (cells[k] === undefined || cells[k] === '' || !Number.isFinite(value)) {
        const key = itemAt(cellsOf(header), k);
        throw new InputError({
          file,
          line: n + 2,
          key,
          what: 'no number stands here',
          mend: 'give one, or leave the line out',
        });
      }
      point[name] = factor * value;
      const decimals = /[.,](\d*)$/.exec(cells[k])?.[1]?.length ?? 0;
      rounding[name] = Math.min(rounding[name], 10 ** -decimals);
    });
    return [point];
  });
  return { points, rounding };
}
