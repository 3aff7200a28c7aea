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

export interface MeasureAsked extends CaptureTold {
  profile?: string | undefined;
  budget?: string | undefined;
  json?: boolean | undefined;
}

/** The exit code. @throws InputError for a file or profile that cannot be read */
export function measureFile(file: string, asked: MeasureAsked, io: CommandIo): number {
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
    const json = { measured: quantitiesJson(measured), model: quantitiesJson(model.model), notes: told };
    io.stdout(jsonText(json));
  } else {
    const lines = measuredLines(measured, model.model);
    if (lines.length === 0) lines.push('Nothing could be measured.');
    io.stdout(`${[...lines, ...(told.length > 0 ? ['', ...told.map(oneLine)] : [])].join('\n')}\n`);
  }
  return Object.keys(measured).length > 0 ? EXIT.pass : EXIT.cannotTell;
}
