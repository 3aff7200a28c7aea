// A rig whose samples are corrected by its calibration before anybody sees them. Raw lines stay as they came.

import type { Connection } from '../bench/index.js';
import { CHANNELS } from '../capture/index.js';
import type { ResolvedUnit } from '../profile/index.js';
import type { Calibration, Store } from '../records/index.js';
import type { Rig, RigEvent, SampleBlock } from '../rig/index.js';

/** The connection with the newest calibration of its rig applied; as it is when there is none. */
export function withCalibration(
  connection: Connection,
  store: Pick<Store, 'calibrationFor'>,
  unit: Pick<ResolvedUnit, 'rig'>,
): Connection {
  const { rigId } = connection.rig.facts;
  const calibration = store.calibrationFor(rigId, new Date().toISOString(), unit.rig.scales);
  if (Object.keys(calibration.channels).length === 0) return connection;
  const { close, rig, ...rest } = connection;
  return { ...rest, rig: calibratedRig(rig, calibration), close: () => close.call(connection) };
}

export function calibratedRig(rig: Rig, calibration: Calibration): Rig {
  const onEvent: Rig['onEvent'] = (listener) =>
    rig.onEvent((event: RigEvent) =>
      listener(
        event.kind === 'samples' ? { ...event, block: correctedBlock(event.block, calibration) } : event,
      ),
    );
  return new Proxy(rig, {
    get(target, key) {
      if (key === 'onEvent') return onEvent;
      const value: unknown = Reflect.get(target, key, target);
      return typeof value === 'function' ? value.bind(target) : value;
    },
  });
}

function correctedBlock(block: SampleBlock, { channels: corrections }: Calibration): SampleBlock {
  const channels: SampleBlock['channels'] = { ...block.channels };
  for (const name of CHANNELS) {
    const correction = corrections[name];
    const values = channels[name];
    if (!correction || !values) continue;
    const { zero, gain } = correction;
    channels[name] = values.map((value) => gain * (value - zero));
  }
  return { ...block, channels };
}
