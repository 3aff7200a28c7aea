// A rig whose samples are corrected by its calibration before anybody sees them. Raw lines stay as they came.

import type { Connection } from '../bench/index.js';
import { CHANNELS, mapChannels } from '../capture/index.js';
import { known } from '../fields/index.js';
import type { DoubtedChannel, FineChannel, ResolvedUnit, RigProfile } from '../profile/index.js';
import {
  type Calibration,
  type Correction,
  calibrationFor,
  correctedScale,
  correctedScales,
} from '../records/correction/index.js';
import { failedCheckWords, type ShiftCheck, type Store, standingFailures } from '../records/index.js';
import type { Burst, Rig, RigEvent, SampleBlock } from '../rig/index.js';

/** As `RigIdentity.port` tells it. */
const VIRTUAL_PORT = 'virtual';

type Scale = RigProfile['scales'][keyof RigProfile['scales']];

/**
 * The connection with the newest calibration of its rig applied to its readings and to what they are good to; as it is
 * when there is none. A known-load check that failed and was followed by no calibration widens its channel's uncertainty and
 * leaves it in doubt.
 */
export function withCalibration(
  connection: Connection,
  store: Pick<Store, 'listCalibrations' | 'listShiftChecks'>,
  unit: Pick<ResolvedUnit, 'rig'>,
): Connection {
  const { rigId } = connection.rig.facts;
  const at = new Date().toISOString();
  const points = store.listCalibrations(rigId);
  const calibration = calibrationFor(points, rigId, at, unit.rig.scales);
  const bad = standingFailures({ checks: store.listShiftChecks(rigId), points }, rigId, at);
  const isCalibrated = Object.keys(calibration.channels).length > 0;
  // The scales of a virtual bench are as its profile says.
  const isReal = connection.rig.facts.port !== VIRTUAL_PORT;
  const never = isCalibrated || !isReal ? {} : { neverCalibrated: true as const };
  const { close, rig, ...rest } = connection;
  if (!isCalibrated && bad.length === 0)
    return isReal ? { ...rest, ...never, rig, close: () => close.call(connection) } : connection;
  return {
    ...rest,
    ...never,
    rig: isCalibrated ? calibratedRig(rig, calibration) : rig,
    close: () => close.call(connection),
    scales: doubted(correctedScales(unit.rig.scales, calibration), bad),
    ...known({ fineScales: correctedFine(unit.rig.fineScales, calibration, bad) }),
    ...(bad.length === 0 ? {} : { doubt: bad.map(doubtOfCheck) }),
  };
}

/** What a check was off by counts as a standard uncertainty of the gain, until a calibration has mended it. */
function doubted(scales: RigProfile['scales'], bad: readonly ShiftCheck[]): RigProfile['scales'] {
  const out = { ...scales };
  for (const check of bad) out[check.channel] = widened(out[check.channel], check);
  return out;
}

function widened(scale: Scale, { reading, reference }: ShiftCheck): Scale {
  const offPercent = (100 * Math.abs(reading - reference)) / Math.max(Math.abs(reference), 1e-9);
  const { gainUncertaintyPercent } = scale;
  return {
    ...scale,
    gainUncertaintyPercent: Math.hypot(gainUncertaintyPercent, Math.min(offPercent, 100)),
  };
}

/** The finer amplifier stands behind the plain one: the same correction, and a zero of its own that no point tells. */
function correctedFine(
  fineScales: RigProfile['fineScales'],
  calibration: Calibration,
  bad: readonly ShiftCheck[],
): RigProfile['fineScales'] {
  if (fineScales === undefined) return undefined;
  const out = { ...fineScales };
  for (const [channel, scale] of Object.entries(fineScales) as [FineChannel, Scale][]) {
    const one = correctedScale(scale, calibration.channels[channel]);
    const { offsetUncertainty } = scale;
    const ownOffset = calibration.channels[channel]?.offsetUncertainty ?? 0;
    out[channel] = { ...one, offsetUncertainty: Math.hypot(offsetUncertainty, ownOffset) };
    for (const check of bad) if (check.channel === channel) out[channel] = widened(out[channel], check);
  }
  return out;
}

const doubtOfCheck = (check: ShiftCheck): DoubtedChannel => ({
  channel: check.channel,
  sentence: `The ${failedCheckWords(check)} and the rig was not calibrated since: its numbers are in doubt.`,
});

export function calibratedRig(rig: Rig, calibration: Calibration): Rig {
  const onEvent: Rig['onEvent'] = (listener) =>
    rig.onEvent((event: RigEvent) =>
      listener(
        event.kind === 'samples' ? { ...event, block: correctedBlock(event.block, calibration) } : event,
      ),
    );
  const prepare = rig.prepareBurst?.bind(rig);
  const prepareBurst: Rig['prepareBurst'] & {} = async (request) => {
    if (!prepare) throw new RangeError('this rig takes no bursts');
    const { read } = await prepare(request);
    return { read: async (withinS) => correctedBurst(await read(withinS), calibration) };
  };
  return new Proxy(rig, {
    get(target, key) {
      if (key === 'onEvent') return onEvent;
      if (key === 'prepareBurst' && prepare) return prepareBurst;
      const value: unknown = Reflect.get(target, key, target);
      return typeof value === 'function' ? value.bind(target) : value;
    },
  });
}

const corrected = (values: Float64Array, correction: Correction | undefined): Float64Array =>
  correction ? values.map((value) => correction.gain * (value - correction.zero)) : values;

function correctedBlock(block: SampleBlock, { channels: corrections }: Calibration): SampleBlock {
  return {
    ...block,
    channels: mapChannels(block.channels, (values, channel) => corrected(values, corrections[channel])),
  };
}

function correctedBurst(burst: Burst, { channels: corrections }: Calibration): Burst {
  const channels: Burst['channels'] = { ...burst.channels };
  for (const name of CHANNELS) {
    const correction = corrections[name];
    const trace = channels[name];
    if (!correction || !trace) continue;
    channels[name] = { ...trace, value: corrected(trace.value, correction) };
  }
  return { ...burst, channels };
}
