// What `throwbench rig` says, as lines for people and as one JSON object. Formats only.

import { STOP_REASONS } from '../../firmware-protocol/index.js';
import { CHANNEL } from '../capture/index.js';
import { known } from '../fields/index.js';
import type { BoardFacts } from '../link/index.js';
import { type BoardLimits, lacksTold, type RigLook } from '../rig/index.js';
import { amount, fixed, revisionWords } from '../tell/index.js';
import { tableLines } from './table.js';

export function identityLines(
  path: string,
  { hello, constants, scan }: BoardFacts,
  limits: BoardLimits,
): string[] {
  const { tripMotorCurrentA, tripFeedCurrentA, tripSamples, deadTimeS } = limits;
  const { clockHz, adcBits, frameUs, slotCount, deadFloorMs, silenceMs, holdCeilingMs } = constants;
  const revisions = known({ firmwareVersion: hello.firmware, hardwareRevision: hello.hardware });
  const lacks = lacksTold(revisions);
  return [
    `rig ${hello.rigId} (${hello.model}) on ${path}`,
    `${revisionWords(revisions)}, protocol ${hello.protocol}, last start: ${hello.resetCause}`,
    ...(lacks === undefined ? [] : [lacks.sentence, lacks.advice]),
    `board: ${clockHz / 1e6} MHz, ${adcBits}-bit converter, ${slotCount} conversions every ${frameUs / 1000} ms, scan list ${scan}`,
    `limits: motor ${amount(tripMotorCurrentA, 'A', 1)}, feed ${amount(tripFeedCurrentA, 'A', 1)} after ${tripSamples} samples; ` +
      `dead time ${Math.round(deadTimeS * 1000)} ms (never below ${deadFloorMs}); host silence ${silenceMs} ms; hold up to ${holdCeilingMs / 1000} s`,
  ];
}

/** Where to look for the amplifier that is not there. */
const FINE_PLACE = 'U7 of the rig: RIG.md, section 5.2.';

export function lookLines({ state, channels, fine, lostFrames }: RigLook): string[] {
  const reason = STOP_REASONS.find(({ name }) => name === state.stop);
  const stop = state.stop === 'none' ? 'no stop latched' : `stopped: ${reason?.sentence ?? state.stop}`;
  const outputs =
    state.position === 'rest' && state.feed === 'off'
      ? 'outputs off'
      : `OUTPUTS ON: position ${state.position}, feed ${state.feed}`;
  const rows = channels.map(({ channel, samples, counts, pinVoltageV, reading }) => {
    const { label, unit } = CHANNEL[channel];
    if (samples === 0) return [label, 'not in the scan list', '', '', '', ''];
    return [
      label,
      fixed(counts.mean, 1),
      fixed(counts.scatter, 1),
      amount(pinVoltageV, 'V', 3),
      amount(reading.mean, unit, 3),
      amount(reading.scatter, unit, 3),
    ];
  });
  const fineRows = fine.map(({ channel, counts, pinVoltageV, reading }) => {
    const { label, unit } = CHANNEL[channel];
    return [
      `${label}, fine`,
      fixed(counts.mean, 1),
      fixed(counts.scatter, 1),
      amount(pinVoltageV, 'V', 3),
      amount(reading.mean, unit, 4),
      amount(reading.scatter, unit, 4),
    ];
  });
  const lacks = fine.flatMap(({ lack }) => (lack === undefined ? [] : [`${lack} ${FINE_PLACE}`]));
  const head = ['channel', 'counts', 'scatter', 'at the pin', 'reading', 'scatter'];
  return [
    `stop loop ${state.stopLoop}; ${stop}; ${state.mode}, ${outputs}`,
    ...(state.feedBus === 'live'
      ? [
          'THE FEED IS LIVE: press the stop button; KL, KB, Q1 or Q2 of the rig is stuck, or its sense Q4 (RIG.md, section 5.8)',
        ]
      : []),
    ...(lostFrames > 0 ? [`${lostFrames} frames lost: check cable and hub`] : []),
    ...tableLines([head, ...rows, ...fineRows], (column) => column > 0),
    ...lacks,
  ];
}

export function surveyJson(
  path: string,
  { hello, constants, scan }: BoardFacts,
  limits: BoardLimits,
  look: RigLook,
) {
  const { rigId, model, firmware, protocol, resetCause, hardware } = hello;
  return {
    rig: {
      ...{ rigId, model, firmwareVersion: firmware, protocolVersion: protocol, port: path, resetCause },
      ...known({ hardwareRevision: hardware }),
    },
    constants: { ...constants, scan },
    limits,
    state: look.state,
    lostFrames: look.lostFrames,
    channels: Object.fromEntries(
      look.channels.map((one) => [one.channel, one.samples === 0 ? null : readJson(one)]),
    ),
    fineChannels: Object.fromEntries(
      look.fine.map((one) => [one.channel, { ...readJson(one), ...known({ lack: one.lack }) }]),
    ),
  };
}

function readJson({ channel, samples, counts, pinVoltageV, reading }: RigLook['channels'][number]) {
  const counted = { samples, counts: counts.mean, countsScatter: counts.scatter, pinVoltageV };
  return {
    ...counted,
    reading: reading.mean,
    readingScatter: reading.scatter,
    unit: CHANNEL[channel].unit,
  };
}
