// Zero and known load of one channel, noted by rig and day, and the check of a shift. Readings are taken from the rig's
// own stream; outputs are off before and after.

import type { Connection } from '../bench/index.js';
import { CHANNEL, type Channel } from '../capture/index.js';
import { coverageFactor95 } from '../measure/index.js';
import { loadCase, loadRig, loadUnit, type RigProfile } from '../profile/index.js';
import { type Calibration, calibrationFor, correctedScales } from '../records/correction/index.js';
import { openStore, type Store } from '../records/index.js';
import { fixed, significant } from '../tell/index.js';
import { quantityOfChannel } from './calibrate-text.js';
import { calibratedRig } from './calibrated-rig.js';
import { type CommandIo, EXIT, UsageError } from './command.js';
import { type ReadingRequest, takeReading } from './take-reading.js';

/** A rig on a port, or the virtual bench with a case on a unit. */
export type BenchNamed = { port: string; profile: string | undefined } | { virtual: string; profile: string };

export interface CalibrateAsked {
  bench: BenchNamed;
  known: { channel: Channel; reference: number; referenceUncertainty: number };
  how: Omit<ReadingRequest, 'trip'>;
  /** Of a check; absent where a point is to be noted. */
  moment: 'start' | 'end' | undefined;
  json: boolean;
}

interface Bench {
  asked: CalibrateAsked;
  io: CommandIo;
  store: Store;
  connection: Connection;
  rigProfile: RigProfile;
}

/** The exit code. @throws UsageError for a reading that would make no calibration */
export async function calibrate(asked: CalibrateAsked, io: CommandIo): Promise<number> {
  const { rigProfile, connect } = benchOf(asked.bench);
  const store = openStore();
  try {
    const connection = await connect();
    try {
      const bench = { asked, io, store, connection, rigProfile };
      return asked.moment === undefined ? await note(bench) : await check(bench, asked.moment);
    } finally {
      await connection.close();
    }
  } finally {
    store.close();
  }
}

async function note({ asked, io, store, connection, rigProfile }: Bench): Promise<number> {
  const { known, how } = asked;
  const { channel, reference, referenceUncertainty } = known;
  const { rigId } = connection.rig.facts;
  const seen = await takeReading(connection.rig, { ...how, trip: rigProfile.trip }, rigProfile);
  const { atZeroCount, perCount } = rigProfile.scales[channel];
  const at = new Date().toISOString();
  const noted = {
    rigId,
    ...known,
    point: how.point,
    at,
    reading: seen.value,
    readingUncertainty: seen.standardUncertainty,
    atZeroCount,
    perCount,
  };
  if (how.point === 'load') refuseNonsense(store, noted, rigProfile);
  store.addCalibration(noted);
  const correction = calibrationIn(store, rigId, at, rigProfile).channels[channel];
  if (asked.json) io.stdout(`${JSON.stringify({ noted, correction }, undefined, 2)}\n`);
  else {
    const read = quantityOfChannel(channel, seen.value, 2 * seen.standardUncertainty);
    const told = quantityOfChannel(channel, reference, 2 * referenceUncertainty);
    io.stdout(`${rigId}: ${CHANNEL[channel].words} read ${read}, known ${told}; noted\n`);
    if (correction)
      io.stdout(
        `from now on: (reading - ${significant(correction.zero, 3)}) x ${fixed(correction.gain, 4)}\n`,
      );
  }
  return EXIT.pass;
}

/** What the store's points amount to for a rig on a day. */
const calibrationIn = (store: Store, rigId: string, at: string, { scales }: RigProfile): Calibration =>
  calibrationFor(store.listCalibrations(rigId), rigId, at, scales);

async function check(
  { asked, io, store, connection, rigProfile }: Bench,
  moment: 'start' | 'end',
): Promise<number> {
  const { channel, reference, referenceUncertainty } = asked.known;
  const { rigId } = connection.rig.facts;
  const calibration = calibrationIn(store, rigId, new Date().toISOString(), rigProfile);
  const scale = correctedScales(rigProfile.scales, calibration)[channel];
  const how = { ...asked.how, trip: rigProfile.trip };
  const seen = await takeReading(calibratedRig(connection.rig, calibration), how, rigProfile);
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
    rigId,
    ...asked.known,
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
  if (asked.json) io.stdout(`${JSON.stringify({ ...noted, runsInDoubt: doubted }, undefined, 2)}\n`);
  else {
    const told = `${CHANNEL[channel].words} reads ${quantityOfChannel(channel, seen.value, allowed)}, known ${quantityOfChannel(channel, reference, 2 * referenceUncertainty)}`;
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
  const correction = calibrationIn(store, noted.rigId, noted.at, rigProfile).channels[noted.channel];
  const above = noted.reading - (correction?.zero ?? 0);
  const { offsetUncertainty } = rigProfile.scales[noted.channel];
  if (!(Math.abs(above) > 10 * Math.hypot(noted.readingUncertainty, offsetUncertainty)))
    throw new UsageError(
      `${CHANNEL[noted.channel].label} reads only ${quantityOfChannel(noted.channel, above, 0)} above its zero; is the load on, and is --throw right?`,
    );
  const ratio = noted.reference / above;
  if (!(ratio > 0.5 && ratio < 2))
    throw new UsageError(
      `${CHANNEL[noted.channel].label} reads ${quantityOfChannel(noted.channel, above, 0)} where ${noted.reference} is known: too far off for a calibration; check meter, load and sign`,
    );
}

type RigWanted = Parameters<typeof import('./open-bench.js').openRig>[0];

/** The rig and all that it is driven by load when it is connected. */
const connect = async (wanted: RigWanted): Promise<Connection> =>
  (await import('./open-bench.js')).openRig(wanted);

function benchOf(named: BenchNamed): { rigProfile: RigProfile; connect: () => Promise<Connection> } {
  if ('virtual' in named) {
    const unit = loadUnit(named.profile);
    const virtualCase = loadCase(named.virtual);
    return { rigProfile: unit.rig, connect: () => connect({ rigProfile: unit.rig, unit, virtualCase }) };
  }
  const { port, profile } = named;
  const rigProfile = profile === undefined ? loadRig('reference-rig') : loadUnit(profile).rig;
  return { rigProfile, connect: () => connect({ rigProfile, port }) };
}
