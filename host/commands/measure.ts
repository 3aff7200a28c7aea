// Measures a capture in a file, by the rig of a profile where one is named.

import { oneLine } from '../input/index.js';
import { measureRelayUnit } from '../judge/index.js';
import * as measuring from '../measure/index.js';
import { loadUnit, ripplesOf } from '../profile/index.js';
import { quantitiesJson } from '../tell/index.js';
import { budgetTextLines } from './budget-text.js';
import { type CaptureTold, captureOptions, readCaptureAt } from './capture-told.js';
import { type CommandIo, EXIT, jsonText } from './command.js';
import { measuredLines } from './measured-text.js';
import { motorModelOf } from './motor-model.js';
import { steadyMotorIn } from './steady-points.js';

export interface MeasureAsked extends CaptureTold {
  profile?: string | undefined;
  budget?: string | undefined;
  json?: boolean | undefined;
}

/** The exit code. @throws InputError for a file or profile that cannot be read */
export function measureFile(file: string, asked: MeasureAsked, io: CommandIo): number {
  const steady = steadyMotorIn(io.cwd, file);
  if (steady) return tellMotor(steady, asked, io);
  const options = captureOptions(asked);
  const unit = asked.profile === undefined ? undefined : loadUnit(asked.profile);
  const capture = readCaptureAt(io, file, options.read);
  const wanted: measuring.MeasureOptions = {
    ...(unit ? { rig: unit.rig, nominalVoltageV: unit.motor.nominalVoltageV, ...ripplesOf(unit.motor) } : {}),
    ...options.measure,
  };
  const { measured, notes } =
    unit?.unit.subject === 'relay' ? measureRelayUnit(unit, capture) : measuring.measure(capture, wanted);
  const model = motorModelOf(capture, wanted, unit);
  const told = [...capture.notes, ...notes, ...model.notes];
  if (asked.budget !== undefined) {
    io.stdout(`${budgetTextLines(measured, model.model, asked.budget).join('\n')}\n`);
  } else if (asked.json) {
    const { fit } = model;
    const json = {
      ...{ measured: quantitiesJson(measured), model: quantitiesJson(model.model), notes: told },
      ...(fit ? { modelFit: fit } : {}),
    };
    io.stdout(jsonText(json));
  } else {
    const lines = measuredLines(measured, model.model);
    if (lines.length === 0) lines.push('Nothing could be measured.');
    io.stdout(`${[...lines, ...(told.length > 0 ? ['', ...told.map(oneLine)] : [])].join('\n')}\n`);
  }
  return Object.keys(measured).length > 0 ? EXIT.pass : EXIT.cannotTell;
}

/** The motor of a table of steady points: the same words and keys as of a capture, of which nothing else is told. */
function tellMotor({ model, notes }: measuring.StaticFit, asked: MeasureAsked, io: CommandIo): number {
  if (asked.budget !== undefined) io.stdout(`${budgetTextLines({}, model, asked.budget).join('\n')}\n`);
  else if (asked.json) io.stdout(jsonText({ measured: {}, model: quantitiesJson(model), notes }));
  else io.stdout(`${[...measuredLines({}, model), '', ...notes.map(oneLine)].join('\n').trimEnd()}\n`);
  return EXIT.pass;
}
