// `throwbench judge`: judges a capture taken by any instrument, or a recorded run again. No rig, and no record is made.

import { PROFILE_OPTION } from '../bench-named.js';
import { AMBIENT_OPTION, CAPTURE_OPTIONS, LEARNED_OPTION } from '../capture-options.js';
import { UsageError } from '../command.js';
import { declared } from '../declared.js';

export const command = declared(
  {
    calls: [
      'judge FILE.csv… --profile P [options] [--json]',
      'judge FILE.csv… --clamp FILE [options] [--json]',
      'judge --recorded RUN [--profile P] [--json]',
    ],
    takes: [
      {
        name: 'FILE.csv',
        repeats: true,
        offer: 'file',
        words: `columns time_s, position, feed_current_A, motor_current_A, coil_current_A, lead_a_V, lead_b_V, supply_V;
          columns that the instrument does not have may be left out, lost samples are empty cells; exports of other
          instruments are read too: see --column; several files give a table`,
      },
    ],
    options: {
      profile: PROFILE_OPTION,
      'no-ramp': { type: 'boolean', words: 'of a relay alone: its supply was not turned up and down' },
      'ambient-c': AMBIENT_OPTION,
      learned: LEARNED_OPTION,
      clamp: {
        type: 'string',
        value: 'FILE',
        words: `in place of a profile: what learn --clamp wrote of good units, for who has a clamp and a capture alone;
          nothing is said of any circuit`,
        offer: 'file',
      },
      stop: {
        type: 'string',
        value: 'REASON',
        words: "why the rig stopped before the plan's end, such as over-current",
      },
      ...CAPTURE_OPTIONS,
      recorded: {
        type: 'string',
        value: 'RUN',
        words: `a recorded run, its id in throwbench log, last, or a tag: judged again by today's rules and the profile
          recorded with it (or today's, with --profile), and compared with the judgement of that day; the record stays
          as it is`,
        offer: 'run',
      },
      circuit: {
        type: 'string',
        value: 'auto|ID',
        words: `auto: tell which circuits the capture or run reads like; it is judged as the profile's all the same. An id
          under profiles/circuits: judge it as that one in place of the profile's`,
        offer: 'circuit',
        also: ['auto'],
      },
      motor: {
        type: 'string',
        value: 'ID',
        words:
          "judge it with this motor in place of the profile's; unknown: one without a sheet, which is graded",
        offer: 'motor',
      },
      json: {
        type: 'boolean',
        words: `verdict, checks, findings, readings and the motor's parameters as JSON; of several files one line each`,
      },
    },
    examples: ['judge scope.csv --profile window-lift-switch --current-column CH1', 'judge --recorded last'],
    exit: '0 pass, 1 fail, 2 bad input, 3 cannot tell; of several files the first of 2, 1, 3, 0 that one gave',
  },
  async ({ values, positionals }, io) => {
    const { recorded } = values;
    if (recorded !== undefined) {
      const asked = recordedAsked({ ...values, recorded }, positionals);
      return (await import('../judge-recorded.js')).replayRun(asked, io);
    }
    if (positionals.length === 0)
      throw new UsageError('judge needs a capture: throwbench judge FILE.csv --profile P');
    if (values.clamp !== undefined) {
      const {
        clamp,
        json = false,
        profile,
        learned,
        circuit,
        motor,
        stop,
        'ambient-c': ambient,
        ...told
      } = values;
      const others = { profile, learned, circuit, motor, stop, 'ambient-c': ambient };
      const [strange] = Object.entries(others).filter(([, value]) => value !== undefined);
      if (strange)
        throw new UsageError(`--${strange[0]} is of a model, and --clamp has none: leave one of them out`);
      return (await import('../clamp.js')).judgeByClamp(positionals, { ...told, clamp, json }, io);
    }
    if (values.profile === undefined)
      throw new UsageError(
        'judge needs --profile, the id or file of what the unit should be, or --clamp FILE where there is no model',
      );
    return (await import('../judge.js')).judgeFiles(positionals, { ...values, profile: values.profile }, io);
  },
);

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
