// Measures a capture in a file, by the rig of a profile where one is named.

import { known } from '../fields/index.js';
import { oneLine } from '../input/index.js';
import { measureRelayUnit } from '../judge/index.js';
import * as measuring from '../measure/index.js';
import { loadUnit, ripplesOf } from '../profile/index.js';
import { quantitiesJson, quantityText } from '../tell/index.js';
import { budgetTextLines } from './budget-text.js';
import { type CaptureTold, captureOptions, readCaptureAt } from './capture-told.js';
import { type CommandIo, EXIT, jsonText } from './command.js';
import { FileTable } from './file-table.js';
import { measuredLines } from './measured-text.js';
import { type MotorModel, motorModelOf } from './motor-model.js';
import { steadyMotorIn } from './steady-points.js';

export interface MeasureAsked extends CaptureTold {
  profile?: string | undefined;
  budget?: string | undefined;
  json?: boolean | undefined;
}

/**
 * One file in full, several in a table or in one JSON line each; a bad one does not stop the others.
 * @returns the exit code. @throws InputError for a profile, or the one file, that cannot be read
 */
export function measureFiles(files: readonly string[], asked: MeasureAsked, io: CommandIo): number {
  const options = captureOptions(asked);
  const unit = asked.profile === undefined ? undefined : loadUnit(asked.profile);
  const measureOne = (file: string): MeasuredFile => measuredFile(io, file, options, unit);
  const [only, ...more] = files;
  if (only !== undefined && more.length === 0) return tellOne(measureOne(only), asked, io);
  const table = new FileTable<MeasuredFile>(files, measureOne);
  if (asked.json) io.stdout(table.jsonLines(measuredJson));
  else io.stdout(table.lines(['file', ...SHOWN.map(({ words }) => words)], shownCells));
  return table.exitOf(exitOf);
}

const exitOf = ({ measured, model }: MeasuredFile): number =>
  Object.keys(measured).length + Object.keys(model).length > 0 ? EXIT.pass : EXIT.cannotTell;

interface MeasuredFile {
  measured: measuring.Measured;
  model: measuring.Told;
  notes: string[];
  fit?: MotorModel['fit'];
}

const NO_INSTRUMENT =
  'Nothing is said of the instrument: each ± holds the scatter of the readings, not its gain and zero. Say --accuracy.';

/** What a row of the table shows; a file of one current alone fills the first of them. */
const SHOWN: readonly { position: 'forward' | 'reverse'; what: measuring.QuantityName; words: string }[] = [
  { position: 'forward', what: 'inrushPeakA', words: 'forward inrush' },
  { position: 'forward', what: 'runningCurrentA', words: 'running' },
  { position: 'reverse', what: 'inrushPeakA', words: 'reverse inrush' },
  { position: 'reverse', what: 'runningCurrentA', words: 'running' },
];

const shownCells = ({ measured }: MeasuredFile): string[] =>
  SHOWN.map(({ position, what }) => {
    const found = measuring.readingOf(measured, what, measuring.runStretch('full', position));
    if (found === undefined) return '-';
    return `${quantityText(found)}${found.of?.isWayUntold ? ` (${measuring.DIRECTION_NOT_TOLD})` : ''}`;
  });

function measuredFile(
  io: CommandIo,
  file: string,
  options: ReturnType<typeof captureOptions>,
  unit: ReturnType<typeof loadUnit> | undefined,
): MeasuredFile {
  // The motor of a table of steady points: the same words and keys as of a capture, of which nothing else is told.
  const steady = steadyMotorIn(io.cwd, file);
  if (steady) return { measured: {}, model: steady.model, notes: [...steady.notes] };
  const capture = readCaptureAt(io, file, options);
  const wanted: measuring.MeasureOptions = {
    ...(unit ? { rig: unit.rig, nominalVoltageV: unit.motor.nominalVoltageV, ...ripplesOf(unit.motor) } : {}),
    ...options.measure,
  };
  const { measured, notes } =
    unit?.unit.subject === 'relay' ? measureRelayUnit(unit, capture) : measuring.measure(capture, wanted);
  const model = motorModelOf(capture, wanted, unit);
  const lacking = unit === undefined && wanted.instrument === undefined ? [NO_INSTRUMENT] : [];
  const told = [...capture.notes, ...lacking, ...notes, ...model.notes];
  return { measured, model: model.model, notes: told, ...known({ fit: model.fit }) };
}

const measuredJson = ({ measured, model, notes, fit }: MeasuredFile): object => ({
  ...{ measured: quantitiesJson(measured), model: quantitiesJson(model), notes },
  ...known({ modelFit: fit, directionNotTold: measuring.isWayUntold(measured) || undefined }),
});

function tellOne(told: MeasuredFile, asked: MeasureAsked, io: CommandIo): number {
  const { measured, model, notes } = told;
  if (asked.budget !== undefined) {
    io.stdout(`${budgetTextLines(measured, model, asked.budget).join('\n')}\n`);
  } else if (asked.json) {
    io.stdout(jsonText(measuredJson(told)));
  } else {
    const lines = measuredLines(measured, model);
    if (lines.length === 0) lines.push('Nothing could be measured.');
    io.stdout(`${[...lines, ...(notes.length > 0 ? ['', ...notes.map(oneLine)] : [])].join('\n')}\n`);
  }
  return exitOf(told);
}
