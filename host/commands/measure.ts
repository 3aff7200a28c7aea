// `throwbench measure FILE.csv`: every quantity that a capture shows, with its ±. No limits, no verdict, no record.

import { measureRelayUnit } from '../judge/index.js';
import * as measuring from '../measure/index.js';
import { loadUnit, oneLine, ripplesOf } from '../profile/index.js';
import { budgetTextLines } from './budget-text.js';
import { CAPTURE_OPTIONS, CAPTURE_USAGE, captureOptions, readCaptureAt } from './capture-options.js';
import { type Command, EXIT, parseCommandArgs, UsageError } from './command.js';
import { measuredJson, measuredLines } from './measured-text.js';
import { motorModelOf } from './motor-model.js';

export const measureCommand: Command = {
  name: 'measure',
  summary: 'measure what a capture in a CSV file shows, each number with its ±',
  usage: `usage: throwbench measure FILE.csv [--profile P] [options] [--json]

  FILE.csv       columns time_s, position, feed_current_A, motor_current_A, coil_current_A, lead_a_V, lead_b_V, supply_V;
                 one current column is enough for what a current tells; without positions the waveform tells the throws
  --profile P    profile of the unit: an id, or the path of a YAML file; brings the rig's uncertainties
${CAPTURE_USAGE}
  --budget NAME  what the uncertainty of one quantity is made of, such as forwardRunningCurrentA or resistanceOhm
  --json         measured quantities and motor parameters as JSON

Exit status: 0 measured, 2 bad input, 3 nothing could be measured.`,
  async run(args, io) {
    const { values, positionals } = parseCommandArgs(args, {
      ...CAPTURE_OPTIONS,
      profile: { type: 'string' },
      json: { type: 'boolean' },
      budget: { type: 'string' },
    });
    const [file, ...more] = positionals;
    if (file === undefined) throw new UsageError('measure needs a capture: throwbench measure FILE.csv');
    if (more.length > 0) throw new UsageError(`measure takes one capture; '${more[0]}' is one too many`);
    const options = captureOptions(values);
    const unit = values.profile === undefined ? undefined : loadUnit(values.profile);
    const capture = readCaptureAt(io, file, options.read);
    const wanted: measuring.MeasureOptions = {
      ...(unit
        ? { rig: unit.rig, nominalVoltageV: unit.motor.nominalVoltageV, ...ripplesOf(unit.motor) }
        : {}),
      ...options.measure,
    };
    const { measured, notes } =
      unit?.unit.subject === 'relay' ? measureRelayUnit(unit, capture) : measuring.measure(capture, wanted);
    const model = motorModelOf(capture, wanted, unit);
    const told = [...capture.notes, ...notes, ...model.notes];
    if (values.budget !== undefined) {
      io.stdout(`${budgetTextLines({ ...measured, ...model.model }, values.budget).join('\n')}\n`);
    } else if (values.json) {
      const json = { measured: measuredJson(measured), model: measuredJson(model.model), notes: told };
      io.stdout(`${JSON.stringify(json, null, 2)}\n`);
    } else {
      const lines = measuredLines(measured);
      const parameters = measuredLines(model.model).slice(1);
      if (parameters.length > 0) lines.push('', 'motor', ...parameters);
      if (lines.length === 0) lines.push('Nothing could be measured.');
      io.stdout(`${[...lines, ...(told.length > 0 ? ['', ...told.map(oneLine)] : [])].join('\n')}\n`);
    }
    return Object.keys(measured).length > 0 ? EXIT.pass : EXIT.cannotTell;
  },
};
