// `throwbench calibrate`: zero and known load of one channel, noted by rig and day; and the check at start and end of a
// shift. Readings are taken from the rig's own stream; outputs are off before and after.

import type { Connection } from '../bench/index.js';
import { CHANNELS, type Channel, COLUMN_OF, POSITIONS, type Position } from '../capture/index.js';
import { coverageFactor95 } from '../measure/index.js';
import { loadCase, loadRig, loadUnit, type RigProfile } from '../profile/index.js';
import { correctedScales, hasStore, openStore, type Store } from '../records/index.js';
import { calibrationHistory, quantityOfChannel } from './calibrate-text.js';
import { calibratedRig } from './calibrated-rig.js';
import { type Command, type CommandIo, EXIT, parseCommandArgs, UsageError } from './command.js';
import { takeReading } from './take-reading.js';

const OPTIONS = {
  port: { type: 'string' },
  virtual: { type: 'string' },
  profile: { type: 'string' },
  rig: { type: 'string' },
  channel: { type: 'string' },
  point: { type: 'string' },
  reference: { type: 'string' },
  'reference-u': { type: 'string' },
  throw: { type: 'string' },
  seconds: { type: 'string' },
  start: { type: 'boolean', default: false },
  end: { type: 'boolean', default: false },
  json: { type: 'boolean', default: false },
} as const;

export const calibrateCommand: Command = {
  name: 'calibrate',
  summary: 'calibrate a channel of the rig against a known load and meter, or check it',
  usage: `usage: throwbench calibrate (--port PATH | --virtual CASE --profile P) --channel C --point zero
       throwbench calibrate (--port PATH | --virtual CASE --profile P) --channel C --point load --reference VALUE
       throwbench calibrate check (--port PATH | --virtual CASE --profile P) --channel C --reference VALUE (--start | --end)
       throwbench calibrate list [--rig ID] [--json]

  --channel C       ${Object.values(COLUMN_OF).join(', ')}
  --point zero      everything off: the reading is the channel's zero
  --point load      a known load is on: the meter's reading is --reference
  --reference V     what the meter shows, in A or V (a negative one as --reference=-4.5)
  --reference-u U   its standard uncertainty, in A or V (default: 0.5 % of V)
  --throw P         rest, forward or reverse while the load is read (default: reverse for lead_b_V, rest for feed and
                    supply, else forward)
  --seconds S       how long to read (default 1)
  --profile P       the unit whose rig profile is meant; on a port the reference rig without it
  check             known load at the start and the end of a shift: a failing one puts every result since the last good
                    one in doubt (throwbench log shows it)
  list              every calibration and check noted, oldest first

Nothing is ever overwritten: the newest point of a channel holds from its day on.
exit status: 0 noted, or the check is good; 1 the check failed; 2 usage or bad input; 3 rig trouble
`,
  async run(args, io) {
    const { values, positionals } = parseCommandArgs(args, OPTIONS);
    const [verb, ...more] = positionals;
    if (more.length > 0) throw new UsageError(`${JSON.stringify(more[0])} is one word too many`);
    if (verb === 'list') return list(io, values.rig, values.json);
    if (verb !== undefined && verb !== 'check')
      throw new UsageError(`unknown word ${JSON.stringify(verb)} after calibrate`, {
        word: verb,
        known: ['check', 'list'],
      });
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
    const seconds = numberOf('seconds', values.seconds, 1);
    if (!(seconds >= 0.1 && seconds <= 4)) throw new UsageError('--seconds should be from 0.1 to 4');
    const position = positionOf(values.throw, channel, point);

    const { rigProfile, connect } = await benchOf(values);
    const store = openStore();
    try {
      const connection = await connect();
      try {
        const { rigId } = connection.rig.facts;
        const known = { rigId, channel, reference, referenceUncertainty };
        const how = { channel, point, position, seconds, trip: rigProfile.trip } as const;
        if (isCheck) {
          const moment = values.end ? 'end' : 'start';
          return await check({ io, store, connection, rigProfile, known, how, moment, json: values.json });
        }
        const seen = await takeReading(connection.rig, how, rigProfile);
        const { atZeroCount, perCount } = rigProfile.scales[channel];
        const at = new Date().toISOString();
        const noted = {
          ...known,
          point,
          at,
          reading: seen.value,
          readingUncertainty: seen.standardUncertainty,
          atZeroCount,
          perCount,
        } as const;
        if (point === 'load') refuseNonsense(store, noted, rigProfile);
        store.addCalibration(noted);
        const now = store.calibrationFor(rigId, at, rigProfile.scales).channels[channel];
        if (values.json) io.stdout(`${JSON.stringify({ noted, correction: now }, undefined, 2)}\n`);
        else
          io.stdout(
            `${rigId}: ${COLUMN_OF[channel]} read ${quantityOfChannel(channel, seen.value, 2 * seen.standardUncertainty)}, known ${quantityOfChannel(channel, reference, 2 * referenceUncertainty)}; noted\n` +
              `from now on: (reading - ${now!.zero.toPrecision(3)}) x ${now!.gain.toFixed(4)}\n`,
          );
        return EXIT.pass;
      } finally {
        await connection.close();
      }
    } finally {
      store.close();
    }
  },
};

interface CheckRequest {
  io: CommandIo;
  store: Store;
  connection: Connection;
  rigProfile: RigProfile;
  known: { rigId: string; channel: Channel; reference: number; referenceUncertainty: number };
  how: Parameters<typeof takeReading>[1];
  moment: 'start' | 'end';
  json: boolean;
}

async function check(request: CheckRequest): Promise<number> {
  const { io, store, connection, rigProfile, known, moment } = request;
  const { channel, reference, referenceUncertainty, rigId } = known;
  const calibration = store.calibrationFor(rigId, new Date().toISOString(), rigProfile.scales);
  const scale = correctedScales(rigProfile.scales, calibration)[channel];
  const seen = await takeReading(calibratedRig(connection.rig, calibration), request.how, rigProfile);
  const allowed =
    coverageFactor95(Number.POSITIVE_INFINITY) *
    Math.hypot(
      seen.standardUncertainty,
      referenceUncertainty,
      scale.offsetUncertainty,
      (Math.abs(reference) * scale.gainUncertaintyPercent) / 100,
    );
  const isGood = Math.abs(seen.value - reference) <= allowed;
  const at = new Date().toISOString();
  const noted = {
    ...known,
    moment,
    at,
    reading: seen.value,
    readingUncertainty: seen.standardUncertainty,
    allowed,
    isGood,
  };
  const before = new Set(
    store.listRuns().flatMap(({ runId, doubt }) => (doubt === undefined ? [] : [runId])),
  );
  store.addShiftCheck(noted);
  const doubted = store
    .listRuns()
    .filter(({ runId, doubt }) => doubt !== undefined && !before.has(runId))
    .map(({ runId }) => runId);
  if (request.json) io.stdout(`${JSON.stringify({ ...noted, runsInDoubt: doubted }, undefined, 2)}\n`);
  else {
    const told = `${COLUMN_OF[channel]} reads ${quantityOfChannel(channel, seen.value, allowed)}, known ${quantityOfChannel(channel, reference, 2 * referenceUncertainty)}`;
    io.stdout(`${isGood ? 'GOOD' : 'FAILED'}  ${rigId}: ${told}\n`);
    if (!isGood)
      io.stdout(
        doubted.length > 0
          ? `in doubt since the last good check: ${doubted.length === 1 ? 'run' : `${doubted.length} runs,`} ${[...new Set([doubted.at(-1), doubted[0]])].join(' to ')}; calibrate the rig and test again\n`
          : 'calibrate the rig before the next unit\n',
      );
  }
  return isGood ? EXIT.pass : EXIT.fail;
}

/** A load reading that hardly differs from zero would turn any noise into a gain. */
function refuseNonsense(
  store: Store,
  noted: {
    rigId: string;
    at: string;
    channel: Channel;
    reading: number;
    readingUncertainty: number;
    reference: number;
  },
  rigProfile: RigProfile,
): void {
  const correction = store.calibrationFor(noted.rigId, noted.at, rigProfile.scales).channels[noted.channel];
  const above = noted.reading - (correction?.zero ?? 0);
  const { offsetUncertainty } = rigProfile.scales[noted.channel];
  if (!(Math.abs(above) > 10 * Math.hypot(noted.readingUncertainty, offsetUncertainty)))
    throw new UsageError(
      `${COLUMN_OF[noted.channel]} reads only ${quantityOfChannel(noted.channel, above, 0)} above its zero; is the load on, and is --throw right?`,
    );
  const ratio = noted.reference / above;
  if (!(ratio > 0.5 && ratio < 2))
    throw new UsageError(
      `${COLUMN_OF[noted.channel]} reads ${quantityOfChannel(noted.channel, above, 0)} where ${noted.reference} is known: too far off for a calibration; check meter, load and sign`,
    );
}

function list(io: CommandIo, rigId: string | undefined, json: boolean): number {
  if (!hasStore()) {
    io.stdout(json ? '{"calibrations":[],"checks":[]}\n' : 'no calibrations noted\n');
    return EXIT.pass;
  }
  const store = openStore();
  try {
    const calibrations = store.listCalibrations(rigId);
    const checks = store.listShiftChecks(rigId);
    io.stdout(
      json
        ? `${JSON.stringify({ calibrations, checks }, undefined, 2)}\n`
        : calibrationHistory(calibrations, checks),
    );
    return EXIT.pass;
  } finally {
    store.close();
  }
}

async function benchOf(values: {
  port?: string | undefined;
  virtual?: string | undefined;
  profile?: string | undefined;
}): Promise<{ rigProfile: RigProfile; connect: () => Promise<Connection> }> {
  const { port, virtual, profile } = values;
  if (port !== undefined && virtual !== undefined)
    throw new UsageError('--port and --virtual exclude each other: name one bench');
  if (port === undefined && virtual === undefined)
    throw new UsageError('which bench? name it with --port PATH or --virtual CASE');
  if (port === undefined && profile === undefined)
    throw new UsageError('--virtual needs --profile P: the unit that the case is on');
  const unit = profile === undefined ? undefined : loadUnit(profile);
  const rigProfile = unit?.rig ?? loadRig('reference-rig');
  const virtualCase = virtual === undefined ? undefined : loadCase(virtual);
  const { openRig } = await import('./open-bench.js');
  return {
    rigProfile,
    connect: () =>
      openRig({
        rigProfile,
        ...(port === undefined ? {} : { port }),
        ...(unit && virtualCase ? { unit, virtualCase } : {}),
      }),
  };
}

function channelOf(text: string | undefined): Channel {
  if (text === undefined)
    throw new UsageError(`--channel C is missing: ${Object.values(COLUMN_OF).join(', ')}`);
  const channel = CHANNELS.find(
    (name) => name === text || COLUMN_OF[name].toLowerCase() === text.toLowerCase(),
  );
  if (channel) return channel;
  throw new UsageError(`no channel ${JSON.stringify(text)}`, { word: text, known: Object.values(COLUMN_OF) });
}

function positionOf(text: string | undefined, channel: Channel, point: 'zero' | 'load'): Position {
  if (point === 'zero') {
    if (text !== undefined)
      throw new UsageError('--throw does not go with --point zero: everything is off then');
    return 'rest';
  }
  if (text === undefined)
    return channel === 'leadBVoltageV'
      ? 'reverse'
      : channel === 'feedCurrentA' || channel === 'supplyVoltageV'
        ? 'rest'
        : 'forward';
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
