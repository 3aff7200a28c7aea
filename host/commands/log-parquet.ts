// Recorded runs and their samples as Apache Parquet, units in the names of the columns as in the other exports. Loaded
// only where it is asked for.

import {
  type ColumnSource,
  fileWriter,
  ParquetWriter,
  parquetWriteBuffer,
  schemaFromColumnData,
} from 'hyparquet-writer';
import {
  type Capture,
  CHANNEL,
  CHANNELS,
  FEED_COLUMN,
  POSITION_COLUMN,
  TIME_COLUMN,
} from '../capture/index.js';
import { InputError } from '../input/index.js';
import type { RunRecord, Store } from '../records/index.js';
import type { CommandIo } from './command.js';
import { exportColumns } from './log-export.js';
import { storePlace } from './stored-runs.js';
import { writePieces } from './write-new.js';

/** The table of `--csv`, its numbers as doubles, its texts as strings; what is absent is null. */
export function runsParquet(runs: readonly RunRecord[]): Uint8Array {
  const columnData = exportColumns(runs).map(({ head, cell }): ColumnSource => {
    const cells = runs.map((run) => cell(run) ?? null);
    const isText = cells.some((one) => typeof one === 'string') || cells.every((one) => one === null);
    return { name: head, data: cells, type: isText ? 'STRING' : 'DOUBLE', nullable: true };
  });
  return new Uint8Array(parquetWriteBuffer({ columnData }));
}

/** Samples of one run. @throws InputError where the file cannot be written */
export function writeCapture(io: CommandIo, file: string, run: RunRecord, capture: Capture): void {
  const told = `${capture.timeS.length} samples written`;
  writePieces(io, file, (part) => writeSamples(part, [{ run, capture }]), told);
}

/**
 * Samples of many runs, a row group or more a run, read one after the other.
 * @throws InputError where none of them has samples, or the file cannot be written
 */
export function writeCaptures(io: CommandIo, file: string, store: Store, runs: readonly RunRecord[]): void {
  const sampled = runs.filter(({ samples }) => samples > 0);
  if (sampled.length === 0)
    throw new InputError({ file: storePlace(), what: 'these runs have no samples', mend: 'choose others' });
  const count = sampled.reduce((sum, { samples }) => sum + samples, 0);
  const one = function* () {
    for (const run of sampled) {
      const capture = store.readCapture(run.runId);
      if (capture !== undefined) yield { run, capture };
    }
  };
  const told = `${count} samples of ${sampled.length} ${sampled.length === 1 ? 'run' : 'runs'} written`;
  writePieces(io, file, (part) => writeSamples(part, one()), told);
}

interface Sampled {
  run: Pick<RunRecord, 'runId' | 'tag'>;
  capture: Capture;
}

function writeSamples(path: string, sampled: Iterable<Sampled>): void {
  const file = fileWriter(path);
  let writer: ParquetWriter | undefined;
  for (const one of sampled) {
    const columnData = columnsOf(one);
    writer ??= new ParquetWriter({ writer: file, schema: schemaFromColumnData({ columnData }) });
    writer.write({ columnData });
  }
  writer?.finish();
}

/** The same columns whatever a rig has, so that runs of several stand in one table. A lost sample is null. */
function columnsOf({ run, capture }: Sampled): ColumnSource[] {
  const { timeS, position, feed, channels, positionKnown } = capture;
  const rows = timeS.length;
  const text = (name: string, data: (string | null)[]): ColumnSource => ({
    ...{ name, data, type: 'STRING', nullable: true },
  });
  const none = (): null[] => new Array<null>(rows).fill(null);
  return [
    text('run', new Array<string>(rows).fill(run.runId)),
    text('unit', new Array<string>(rows).fill(run.tag)),
    { name: TIME_COLUMN, data: Array.from(timeS), type: 'DOUBLE', nullable: true },
    text(POSITION_COLUMN, positionKnown === false ? none() : [...position]),
    text(FEED_COLUMN, feed ? [...feed] : none()),
    ...CHANNELS.map((channel): ColumnSource => {
      const values = channels[channel];
      const data = values ? Array.from(values, (value) => (Number.isNaN(value) ? null : value)) : none();
      return { name: CHANNEL[channel].column, data, type: 'DOUBLE', nullable: true };
    }),
  ];
}
