// `throwbench measure FILE.csv`: every quantity that a capture shows, with its ±. No limits, no verdict, no record.

import { CAPTURE_OPTIONS, CAPTURE_USAGE } from '../capture-options.js';
import { type Command, parseCommandArgs, UsageError } from '../command.js';

export const command: Command = {
  usage: `usage: throwbench measure FILE.csv… [--profile P] [options] [--json]

  FILE.csv       columns time_s, position, feed_current_A, motor_current_A, coil_current_A, lead_a_V, lead_b_V, supply_V;
                 one current column is enough for what a current tells; without positions the waveform tells the throws;
                 exports of other instruments are read too: see --column; several files give a table;
                 with the leads or, behind a chopper, supply_V and pwm_duty (0 to 1) or pwm_duty_percent, the motor's
                 own parameters are told; a column speed_rad_s or speed_rpm adds torques; a table of steady points
                 voltage_V, current_A, speed_rpm, torque_Nm without times gives them alike
  --profile P    profile of the unit: an id, or the path of a YAML file; brings the rig's uncertainties
${CAPTURE_USAGE}
  --budget NAME  what the uncertainty of one quantity is made of, such as forwardRunningCurrentA or resistanceOhm
  --json         measured quantities and motor parameters as JSON; of several files one line each

examples:
  throwbench measure scope.csv
  throwbench measure scope.csv --profile window-lift-switch --budget forwardRunningCurrentA

exit status: 0 measured, 2 bad input, 3 nothing could be measured; of several files the first of 2, 3, 0 that one gave.`,
  async run(args, io) {
    const { values, positionals: files } = parseCommandArgs(args, {
      ...CAPTURE_OPTIONS,
      profile: { type: 'string' },
      json: { type: 'boolean' },
      budget: { type: 'string' },
    });
    if (files.length === 0) throw new UsageError('measure needs a capture: throwbench measure FILE.csv');
    if (files.length > 1 && values.budget !== undefined)
      throw new UsageError('--budget lays out one capture; name one file');
    return (await import('../measure.js')).measureFiles(files, values, io);
  },
};
