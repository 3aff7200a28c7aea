// `throwbench calibrate`: zero and known load of one channel, noted by rig and day; and the check at start and end of a
// shift.

import {
  CHANNEL,
  CHANNEL_COLUMNS,
  CHANNELS,
  type Channel,
  POSITIONS,
  type Position,
} from '../../capture/index.js';
import { BENCH_OPTIONS, benchNamed, JSON_OPTION } from '../bench-named.js';
import { type CommandIo, numberTold, refuseMore, UsageError } from '../command.js';
import type { Declaration } from '../declaration.js';
import { declared, partNamed } from '../declared.js';

const SECONDS = { least: 0.1, most: 4, example: 2 } as const;

const DECLARATION = {
  calls: [
    'calibrate [--port PATH | --virtual CASE --profile P] [--channel C]',
    'calibrate (--port PATH | --virtual CASE --profile P) --channel C --point zero',
    'calibrate (--port PATH | --virtual CASE --profile P) --channel C --point load --reference VALUE',
    'calibrate check (--port PATH | --virtual CASE --profile P) --channel C --reference VALUE (--start | --end)',
    'calibrate list [--rig ID] [--json]',
  ],
  parts: {
    check: {
      words: `known load at the start and the end of a shift: a failing one puts every result since the last good one in
        doubt (throwbench log shows it)`,
      calls: [
        'calibrate check (--port PATH | --virtual CASE --profile P) --channel C --reference VALUE (--start | --end)',
      ],
      examples: ['calibrate check --port /dev/ttyUSB0 --channel motor_current_A --reference 6.02 --start'],
    },
    list: {
      words: 'every calibration and check noted, oldest first',
      calls: ['calibrate list [--rig ID] [--json]'],
      examples: ['calibrate list', 'calibrate list --rig bench-1'],
    },
  },
  options: {
    ...BENCH_OPTIONS,
    profile: {
      ...BENCH_OPTIONS.profile,
      words: 'the unit whose rig profile is meant; on a port the reference rig without it',
    },
    channel: { type: 'string', value: 'C', words: CHANNEL_COLUMNS.join(', '), offer: CHANNEL_COLUMNS },
    point: {
      type: 'string',
      value: 'POINT',
      words: `zero: everything off, the reading is the channel's zero. load: a known load is on, the meter's reading is
        --reference`,
      offer: ['zero', 'load'],
    },
    reference: {
      type: 'string',
      value: 'V',
      words: 'what the meter shows, in A or V',
    },
    'reference-u': {
      type: 'string',
      value: 'U',
      words: 'its standard uncertainty, in A or V (default: 0.5 % of V)',
    },
    throw: {
      type: 'string',
      value: 'P',
      words: `rest, forward or reverse while the load is read (default: reverse for lead_b_V, rest for feed and supply, else
        forward)`,
      offer: POSITIONS,
    },
    seconds: { type: 'string', value: 'S', words: 'how long to read (default 1)' },
    start: { type: 'boolean', default: false, words: 'of a check: at the start of the shift' },
    end: { type: 'boolean', default: false, words: 'of a check: at its end' },
    json: JSON_OPTION,
  },
  notes: `Without a point, at a terminal, it asks: it reads the zero, switches the load on, waits until that is steady, takes
    what the meter showed, and tells what the correction does to the ± before it keeps it. Outputs are off at every
    question; Space or Esc sends them off while the load is on.

    A load meets the limited feed first, a fifth of a second and about 1 A: where that shows a short, or a channel reads
    what no load can cause, the full feed is never applied.

    Nothing is ever overwritten: the newest point of a channel holds from its day on.`,
  examples: [
    'calibrate',
    'calibrate --port /dev/ttyUSB0 --channel motor_current_A --point zero',
    'calibrate --port /dev/ttyUSB0 --channel motor_current_A --point load --reference 6.02',
  ],
  exit: '0 noted, or the check is good; 1 the check failed; 2 usage or bad input; 3 rig trouble',
} as const satisfies Declaration;

export const command = declared(DECLARATION, async ({ values, positionals }, io) => {
  const [word, ...more] = positionals;
  refuseMore(more);
  const verb =
    word === undefined
      ? undefined
      : partNamed<keyof typeof DECLARATION.parts>('calibrate', DECLARATION, word, values);
  if (verb === 'list') return (await import('../calibrate-list.js')).list(io, values.rig, values.json);
  const isTalk = verb === undefined && values.point === undefined && values.reference === undefined;
  if (isTalk && !values.json && (io.isAttended ?? io.terminal !== undefined)) return talk(values, io);
  const channel = channelOf(values.channel);
  const isCheck = verb === 'check';
  const point = isCheck || values.point === 'load' ? 'load' : values.point === 'zero' ? 'zero' : undefined;
  if (point === undefined)
    throw new UsageError('which point? --point zero (everything off) or --point load (a known load is on)');
  if (isCheck && values.start === values.end)
    throw new UsageError('when is this check? --start or --end of the shift');
  const reference = numberOf('reference', values.reference, point === 'zero' ? 0 : undefined);
  if (point === 'load' && reference === 0)
    throw new UsageError(
      '--reference 0 is no load; use --point zero for what a channel reads with everything off',
    );
  const referenceUncertainty = numberOf('reference-u', values['reference-u'], 0.005 * Math.abs(reference));
  if (referenceUncertainty < 0) throw new UsageError('--reference-u must not be negative');
  const seconds = numberTold('seconds', values.seconds, SECONDS) ?? 1;
  const position = positionOf(values.throw, channel, point);

  const bench = benchNamed(values);
  const { calibrate } = await import('../calibrate.js');
  return calibrate(
    {
      bench,
      known: { channel, reference, referenceUncertainty },
      how: { channel, point, position, seconds },
      moment: isCheck ? (values.end ? 'end' : 'start') : undefined,
      json: values.json,
    },
    io,
  );
});

function channelOf(text: string | undefined): Channel {
  if (text === undefined) throw new UsageError(`--channel C is missing: ${CHANNEL_COLUMNS.join(', ')}`);
  const channel = CHANNELS.find(
    (name) => name === text || CHANNEL[name].column.toLowerCase() === text.toLowerCase(),
  );
  if (channel) return channel;
  throw new UsageError(`no channel ${JSON.stringify(text)}`, { word: text, known: CHANNEL_COLUMNS });
}

function positionOf(text: string | undefined, channel: Channel, point: 'zero' | 'load'): Position {
  if (point === 'zero') {
    if (text !== undefined)
      throw new UsageError('--throw does not go with --point zero: everything is off then');
    return 'rest';
  }
  if (text === undefined) return CHANNEL[channel].loadedAt;
  const position = POSITIONS.find((word) => word === text);
  if (!position) throw new UsageError(`--throw ${JSON.stringify(text)} should be ${POSITIONS.join(', ')}`);
  return position;
}

function numberOf(name: string, text: string | undefined, otherwise?: number): number {
  if (text === undefined) {
    if (otherwise !== undefined) return otherwise;
    throw new UsageError(`--${name} is missing: what does the meter show?`);
  }
  const value = text.trim() === '' ? Number.NaN : Number(text);
  if (!Number.isFinite(value))
    throw new UsageError(`--${name} ${JSON.stringify(text)} is no number, such as 10.02`);
  return value;
}

/** A person sits here and has not said all: the rest is asked for. */
async function talk(
  values: { channel?: string; throw?: string; seconds?: string } & Parameters<typeof benchNamed>[0],
  io: CommandIo,
): Promise<number> {
  const channel = values.channel === undefined ? undefined : channelOf(values.channel);
  const position =
    values.throw === undefined ? undefined : positionOf(values.throw, channel ?? 'motorCurrentA', 'load');
  const seconds = numberTold('seconds', values.seconds, SECONDS);
  const bench = (values.port ?? values.virtual) === undefined ? undefined : benchNamed(values);
  const { calibrateByDialogue } = await import('../calibrate-dialogue.js');
  return calibrateByDialogue({ bench, channel, position, seconds }, io);
}
