// `throwbench judge`: judges a capture taken by any instrument, or a recorded run again. No rig, and no record is made.

import { CAPTURE_OPTIONS, CAPTURE_USAGE } from '../capture-options.js';
import { type Command, parseCommandArgs, UsageError } from '../command.js';

export const command: Command = {
  usage: `usage: throwbench judge FILE.csv… --profile P [options] [--json]
       throwbench judge --recorded RUN [--profile P] [--json]

  FILE.csv       columns time_s, position, feed_current_A, motor_current_A, coil_current_A, lead_a_V, lead_b_V, supply_V;
                 columns that the instrument does not have may be left out, lost samples are empty cells
                 exports of other instruments are read too: see --column; several files give a table
  --profile P    profile of the unit: an id, or the path of a YAML file
  --no-ramp      of a relay alone: its supply was not turned up and down
  --ambient-c C  ambient of the bench by a thermometer: narrows the limits, which else allow an unheated workshop
  --learned FILE limits from known good units, as throwbench learn wrote them
  --stop REASON  why the rig stopped before the plan's end, such as over-current
${CAPTURE_USAGE}
  --recorded RUN a recorded run, its id in throwbench log, last, or a tag: judged again by today's rules and the profile
                 recorded with it (or today's, with --profile), and compared with the judgement of that day; the
                 record stays as it is
  --circuit auto tell which circuits the capture or run reads like; it is judged as the profile's all the same
  --circuit ID   judge it as this circuit, an id under profiles/circuits, in place of the profile's
  --motor ID     judge it with this motor in place of the profile's; unknown: one without a sheet, which is graded
  --json         verdict, checks, findings, readings and the motor's parameters as JSON; of several files one line each

examples:
  throwbench judge scope.csv --profile window-lift-switch --current-column CH1
  throwbench judge --recorded last

exit status: 0 pass, 1 fail, 2 bad input, 3 cannot tell; of several files the first of 2, 1, 3, 0 that one gave.`,
  async run(args, io) {
    const { values, positionals } = parseCommandArgs(args, {
      ...CAPTURE_OPTIONS,
      profile: { type: 'string' },
      json: { type: 'boolean' },
      stop: { type: 'string' },
      'no-ramp': { type: 'boolean' },
      'ambient-c': { type: 'string' },
      learned: { type: 'string' },
      recorded: { type: 'string' },
      circuit: { type: 'string' },
      motor: { type: 'string' },
    });
    const { recorded } = values;
    if (recorded !== undefined) {
      const asked = recordedAsked({ ...values, recorded }, positionals);
      return (await import('../judge-recorded.js')).replayRun(asked, io);
    }
    if (positionals.length === 0)
      throw new UsageError('judge needs a capture: throwbench judge FILE.csv --profile P');
    if (values.profile === undefined)
      throw new UsageError('judge needs --profile, the id or file of what the unit should be');
    return (await import('../judge.js')).judgeFiles(positionals, { ...values, profile: values.profile }, io);
  },
};

interface Recorded {
  recorded: string;
  profile?: string;
  circuit?: string;
  motor?: string;
  learned?: string;
  json?: boolean;
}

/** @throws UsageError for what tells of a file that is not there. */
function recordedAsked(
  { recorded, profile, circuit, motor, learned, json = false, ...others }: Recorded,
  files: string[],
) {
  if (files.length > 0)
    throw new UsageError(`--recorded takes the capture from the record; '${files[0]}' is one too many`);
  const [strange] = Object.entries(others).filter(([, value]) => value !== undefined);
  if (strange) throw new UsageError(`--${strange[0]} is for captures in a file, not for --recorded`);
  if (circuit !== undefined && circuit !== 'auto' && profile === undefined)
    throw new UsageError('--circuit ID changes a profile: name it with --profile, or say --circuit auto');
  if (motor !== undefined && profile === undefined)
    throw new UsageError('--motor changes a profile: name it with --profile');
  return { runId: recorded, profile, circuit, motor, learned, json };
}
