// `throwbench probe`: after a run that did not pass, the next probe, its reading, and the causes weighed again, until one
// is left. The readings are typed, or the rig takes them with a sense clip. Of a profile: the same before any power.

import { BENCH_OPTIONS, OTHER_CIRCUIT_OPTION, PORT_OPTION, RIG_OPTION } from '../bench-named.js';
import { type CommandIo, refuseMore, UsageError } from '../command.js';
import { declared } from '../declared.js';
import { refuseSteering, refuseTag } from '../refused-words.js';

export const command = declared(
  {
    calls: [
      'probe RUN [--json]',
      'probe RUN (--port PATH [--rig ID] | --virtual CASE) [--clip A|B] [--json]',
      'probe RUN --clip-back (--port PATH | --virtual CASE)',
      'probe --profile P --unit TAG [--circuit ID] [--lamp] [--json]',
    ],
    takes: [
      {
        name: 'RUN',
        words: 'a recorded run that did not pass: its id in throwbench log, or last',
        offer: 'run',
      },
    ],
    options: {
      port: {
        ...PORT_OPTION,
        words: `the rig on this serial port reads: a person moves a sense clip to the place named, and the rig makes one
          throw there`,
      },
      virtual: { ...BENCH_OPTIONS.virtual, words: 'the same on the virtual bench, with this case on it' },
      rig: RIG_OPTION,
      profile: {
        ...BENCH_OPTIONS.profile,
        words: `no run yet: a hand meter finds the wrong wire of this unit before anything is fed, or proves it right as
          far as a meter can tell`,
      },
      unit: {
        type: 'string',
        value: 'TAG',
        words: 'the tag on the unit, under which the readings are recorded',
        offer: 'tag',
      },
      circuit: OTHER_CIRCUIT_OPTION,
      lamp: {
        type: 'boolean',
        words:
          "the step after that: a supply through a lamp of the unit's own voltage, volts in place of ohms",
      },
      clip: { type: 'string', value: 'A|B', words: 'which sense clip is moved (B)', offer: ['A', 'B'] },
      'clip-back': {
        type: 'boolean',
        default: false,
        words: 'only see a clip that was moved back in its place, so that runs are allowed again',
      },
      json: {
        type: 'boolean',
        default: false,
        words: 'one JSON object a line; answers are read as lines all the same',
      },
    },
    notes: `Each probe is told with what its readings would mean. Type what the meter shows (11.8 V, 85 Ohm, open) or yes or
      no; skip where it cannot be done, undo to take the last answer back, stop to leave. What was taken is kept with the run's record; called again, it goes
      on from there. With --profile the readings are a run of their own; called again, it starts anew.`,
    examples: [
      'probe last',
      'probe last --virtual coil-open',
      'probe --profile entry-step-relays --unit V-0107',
    ],
    exit: `0 one cause, or a group that nothing here parts, is left; 2 usage or bad input; 3 not so far, or nothing fits; with --profile: 0 right, 1 something is wrong, 2 usage
      or bad input, 3 cannot tell`,
  },
  async ({ values, positionals }, io) => {
    const [runId, ...more] = positionals;
    const { port, virtual, rig, json, profile } = values;
    if (runId === undefined && profile !== undefined) return meterOf({ ...values, profile }, io);
    if (runId === undefined)
      throw new UsageError(
        'probe needs a RUN, an id from throwbench log or last; or --profile P --unit TAG before any run',
      );
    refuseMore(more);
    if (profile !== undefined)
      throw new UsageError('--profile goes without a RUN: the run says what the unit is');
    for (const option of ['unit', 'circuit', 'lamp'] as const)
      if (values[option] !== undefined)
        throw new UsageError(`--${option} goes with --profile, without a RUN: the run says what the unit is`);
    if (port && virtual) throw new UsageError('--port and --virtual exclude each other: name one bench');
    const isBenchNamed = Boolean(port || virtual);
    if (rig && !port) throw new UsageError('--rig goes with --port');
    if (values.clip !== undefined && !isBenchNamed)
      throw new UsageError('--clip goes with --port or --virtual');
    if (values['clip-back'] && !isBenchNamed)
      throw new UsageError('--clip-back goes with --port or --virtual: which bench?');
    const clip = clipNamed(values.clip);
    // Only now, so that a wrong call is answered at once.
    if (!isBenchNamed) return (await import('../probe.js')).probeTyped({ runId, json }, io);
    const virtualCase = virtual ? (await import('../../profile/index.js')).loadCase(virtual) : undefined;
    const asked = { runId, json, port, rigId: rig, virtualCase, clip, onlyBack: values['clip-back'] };
    return (await import('../probe-rig.js')).probeWithRig(asked, io);
  },
);

interface MeterValues {
  profile: string;
  unit?: string;
  circuit?: string;
  lamp?: boolean;
  json: boolean;
  port?: string;
  virtual?: string;
  rig?: string;
  clip?: string;
  'clip-back': boolean;
}

/** Before any run: a person with a hand meter, and nobody else. */
async function meterOf(values: MeterValues, io: CommandIo): Promise<number> {
  const { profile, unit: tag, circuit, lamp, json } = values;
  const bench = (['port', 'virtual', 'rig', 'clip', 'clip-back'] as const).find((name) => values[name]);
  if (bench !== undefined)
    throw new UsageError(`--${bench} goes with a RUN: before any power a person measures by hand`);
  if (!tag) throw new UsageError('--unit TAG is missing: which unit is it?');
  refuseTag(tag);
  await refuseSteering({ unit: tag });
  return (await import('../probe-meter.js')).probeWithMeter(
    { profile, tag, circuit, way: lamp ? 'lamp' : 'ohms', json },
    io,
  );
}

function clipNamed(word = 'B'): 'a' | 'b' {
  if (word === 'A' || word === 'a') return 'a';
  if (word === 'B' || word === 'b') return 'b';
  throw new UsageError(`--clip '${word}' should be A or B`);
}
