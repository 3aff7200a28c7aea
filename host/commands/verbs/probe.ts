// `throwbench probe`: after a run that did not pass, the next probe, its reading, and the causes weighed again, until one
// is left. The readings are typed, or the rig takes them with a sense clip.

import { BENCH_OPTIONS, PORT_OPTION, RIG_OPTION } from '../bench-named.js';
import { refuseMore, UsageError } from '../command.js';
import { declared } from '../declared.js';

export const command = declared(
  {
    calls: [
      'probe RUN [--json]',
      'probe RUN (--port PATH [--rig ID] | --virtual CASE) [--clip A|B] [--json]',
      'probe RUN --clip-back (--port PATH | --virtual CASE)',
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
      profile: { type: 'string' },
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
      no; skip where it cannot be done, stop to leave. What was taken is kept with the run's record; called again, it goes
      on from there.`,
    examples: ['probe last', 'probe last --virtual coil-open'],
    exit: `0 one cause, or a group that nothing here parts, is left; 2 usage or bad input; 3 not so far, or nothing fits`,
  },
  async ({ values, positionals }, io) => {
    const [runId, ...more] = positionals;
    if (runId === undefined) throw new UsageError('probe needs a RUN: an id from throwbench log, or last');
    refuseMore(more);
    const { port, virtual, rig, json, profile } = values;
    if (profile !== undefined)
      throw new UsageError('--profile is not for probe: the run says what the unit is');
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
    const asked = { runId, json, port, rigId: rig, virtual, clip, onlyBack: values['clip-back'] };
    return (await import('../probe-rig.js')).probeWithRig(asked, io);
  },
);

function clipNamed(word = 'B'): 'a' | 'b' {
  if (word === 'A' || word === 'a') return 'a';
  if (word === 'B' || word === 'b') return 'b';
  throw new UsageError(`--clip '${word}' should be A or B`);
}
