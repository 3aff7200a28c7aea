// Zero and known load of one channel, noted by rig and day, and the check of a shift. Readings are taken from the rig's
// own stream; outputs are off before and after.

import type { Connection } from '../bench/index.js';
import { CHANNEL, type Channel } from '../capture/index.js';
import { coverageFactor95 } from '../measure/index.js';
import type { RigProfile } from '../profile/index.js';
import { type Calibration, calibrationFor, correctedScales } from '../records/correction/index.js';
import { type CalibrationPoint, openStore, type ShiftCheck, type Store } from '../records/index.js';
import { type BenchNamed, loadBench } from './bench-named.js';
import { correctionWords, quantityOfChannel } from './calibrate-text.js';
import { calibratedRig } from './calibrated-rig.js';
import { type CommandIo, EXIT, jsonText, UsageError } from './command.js';
import { type ReadingRequest, takeReading } from './take-reading.js';

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
  const wanted = await loadBench(asked.bench);
  const store = openStore();
  try {
    // The rig and all that it is driven by load when it is connected.
    const connection = await (await import('./open-bench.js')).openRig(wanted);
    try {
      const bench = { asked, io, store, connection, rigProfile: wanted.rigProfile };
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
  const noted: CalibrationPoint = {
    ...{ rigId, ...known, point: how.point, at, atZeroCount, perCount },
    ...{ reading: seen.value, readingUncertainty: seen.standardUncertainty },
  };
  if (how.point === 'load') refuseNonsense(store, noted, rigProfile);
  store.addCalibration(noted);
  const correction = calibrationIn(store, rigId, at, rigProfile).channels[channel];
  if (asked.json) io.stdout(jsonText({ noted, correction }));
  else {
    const read = quantityOfChannel(channel, seen.value, 2 * seen.standardUncertainty);
    const told = quantityOfChannel(channel, reference, 2 * referenceUncertainty);
    io.stdout(`${rigId}: ${CHANNEL[channel].words} read ${read}, known ${told}; noted\n`);
    if (correction) io.stdout(`from now on: ${correctionWords(correction)}\n`);
  }
  return EXIT.pass;
}

/** What the store's points amount to for a rig on a day. */
export const calibrationIn = (
  store: Pick<Store, 'listCalibrations'>,
  rigId: string,
  at: string,
  { scales }: RigProfile,
): Calibration => calibrationFor(store.listCalibrations(rigId), rigId, at, scales);

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
  const noted: ShiftCheck = {
    ...{ rigId, ...asked.known, moment, at, allowed, isGood },
    ...{ reading: seen.value, readingUncertainty: seen.standardUncertainty },
  };
  const inDoubt = (): string[] =>
    store.listRuns().flatMap(({ runId, doubt }) => (doubt === undefined ? [] : [runId]));
  const before = new Set(inDoubt());
  store.addShiftCheck(noted);
  const doubted = inDoubt().filter((runId) => !before.has(runId));
  if (asked.json) io.stdout(jsonText({ ...noted, runsInDoubt: doubted }));
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

/** A load reading that hardly differs from zero would turn any noise into a gain. @throws UsageError */
export function refuseNonsense(
  store: Store,
  { rigId, at, channel, reading, readingUncertainty, reference }: CalibrationPoint,
  rigProfile: RigProfile,
): void {
  const { zero = 0 } = calibrationIn(store, rigId, at, rigProfile).channels[channel] ?? {};
  const above = reading - zero;
  const { offsetUncertainty } = rigProfile.scales[channel];
  const told = `${CHANNEL[channel].label} reads`;
  if (!(Math.abs(above) > 10 * Math.hypot(readingUncertainty, offsetUncertainty)))
    throw new UsageError(
      `${told} only ${quantityOfChannel(channel, above, 0)} above its zero; is the load on, and is --throw right?`,
    );
  const ratio = reference / above;
  if (!(ratio > 0.5 && ratio < 2))
    throw new UsageError(
      `${told} ${quantityOfChannel(channel, above, 0)} where ${reference} is known: too far off for a calibration; check meter, load and sign`,
    );
}
