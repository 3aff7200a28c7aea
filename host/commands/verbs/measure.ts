// `throwbench measure FILE.csv`: every quantity that a capture shows, with its ±. No limits, no verdict, no record.

import { PROFILE_OPTION } from '../bench-named.js';
import { CAPTURE_OPTIONS } from '../capture-options.js';
import { UsageError } from '../command.js';
import { declared } from '../declared.js';

export const command = declared(
  {
    calls: ['measure FILE.csv… [--profile P] [options] [--json]'],
    takes: [
      {
        name: 'FILE.csv',
        repeats: true,
        offer: 'file',
        words: `columns time_s, position, feed_current_A, motor_current_A, coil_current_A, lead_a_V, lead_b_V, supply_V; one
          current column is enough for what a current tells; without positions the waveform tells the throws; exports
          of other instruments are read too: see --column; several files give a table; with the leads or, behind a
          chopper, supply_V and pwm_duty (0 to 1) or pwm_duty_percent, the motor's own parameters are told; a column
          speed_rad_s or speed_rpm adds torques; a table of steady points voltage_V, current_A, speed_rpm, torque_Nm
          without times gives them alike`,
      },
    ],
    options: {
      profile: {
        ...PROFILE_OPTION,
        words: "profile of the unit: an id, or the path of a YAML file; brings the rig's uncertainties",
      },
      ...CAPTURE_OPTIONS,
      budget: {
        type: 'string',
        value: 'NAME',
        words:
          'what the uncertainty of one quantity is made of, such as forwardRunningCurrentA or resistanceOhm',
      },
      json: {
        type: 'boolean',
        words: 'measured quantities and motor parameters as JSON; of several files one line each',
      },
    },
    examples: [
      'measure scope.csv',
      'measure scope.csv --profile window-lift-switch --budget forwardRunningCurrentA',
    ],
    exit: '0 measured, 2 bad input, 3 nothing could be measured; of several files the first of 2, 3, 0 that one gave',
  },
  async ({ values, positionals: files }, io) => {
    if (files.length === 0) throw new UsageError('measure needs a capture: throwbench measure FILE.csv');
    if (files.length > 1 && values.budget !== undefined)
      throw new UsageError('--budget lays out one capture; name one file');
    return (await import('../measure.js')).measureFiles(files, values, io);
  },
);
