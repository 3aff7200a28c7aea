// Looks at a rig without energising anything: who it is, what its inputs read at rest, why it stopped; and names it.
// For bringing a rig up. A run uses connectRig instead, which also clears an old stop and sets the dead time.

import type { Frame, ReplyOf } from '../../firmware-protocol/index.js';
import { wordAt } from '../arrays/index.js';
import { type Channel, fineLetterOf, letterOf, RIG_CHANNELS } from '../capture/index.js';
import { known } from '../fields/index.js';
import { type BoardFacts, type Link, LinkError } from '../link/index.js';
import type { FineChannel, RigProfile } from '../profile/index.js';
import { type ConnectRigOptions, checkRigId, openIdle } from './connect-rig.js';
import { fineLack } from './fine-look.js';
import { MOTOR_SCAN, SMALL_MOTOR_SCAN, scanList } from './scan-list.js';

/** Reference of the converter: the board's 5 V (RIG.md, pin map). */
const REFERENCE_V = 5;
/** Frames enough that the mean of the finer input is far finer than a count of it. */
const FINE_LOOK_S = 0.1;
/** 18 bytes at 3.4 ms each (data sheet of the ATmega328P, EEPROM programming time), with a margin. */
const EEPROM_S = 0.1;

export interface ChannelLook {
  channel: Channel;
  /** Samples taken; 0 when the channel is not in the board's scan list, then the rest is NaN. */
  samples: number;
  /** Scatter is the standard deviation of one sample. */
  counts: { mean: number; scatter: number };
  pinVoltageV: number;
  /** In the channel's own unit, by the scale of the rig profile. */
  reading: { mean: number; scatter: number };
}

/** Of a channel's finer input; `lack` is why it cannot be used, in one sentence. */
export type FineLook = Omit<ChannelLook, 'channel'> & { channel: FineChannel; lack?: string };

export interface RigLook {
  state: ReplyOf<'state'>;
  channels: ChannelLook[];
  /** Of the rig's finer inputs, where its profile tells of any and the board takes the list that reads them. */
  fine: FineLook[];
  lostFrames: number;
}

export interface BoardLimits {
  tripMotorCurrentA: number;
  tripFeedCurrentA: number;
  tripSamples: number;
  deadTimeS: number;
}

/**
 * Opens the port, switches everything off, and changes nothing else on the board. Rejects with a LinkError, the port
 * closed then.
 */
export const surveyRig = (options: Omit<ConnectRigOptions, 'scan'>): Promise<RigSurvey> =>
  openIdle(options, (link, board) => new RigSurvey(link, board, options.rigProfile));

export class RigSurvey {
  #board: BoardFacts;

  constructor(
    readonly link: Link,
    board: BoardFacts,
    readonly profile: RigProfile,
  ) {
    this.#board = board;
  }

  get board(): BoardFacts {
    return this.#board;
  }

  async limits(): Promise<BoardLimits> {
    const { motorCounts, feedCounts, samples, deadMs } = await this.link.request({ verb: 'limits' });
    const { motorCurrentA: motor, feedCurrentA: feed } = this.profile.scales;
    return {
      tripMotorCurrentA: motorCounts * motor.perCount,
      tripFeedCurrentA: feed.atZeroCount + feedCounts * feed.perCount,
      tripSamples: samples,
      deadTimeS: deadMs / 1000,
    };
  }

  /** All outputs off, then every channel for `durationS`. */
  async look(durationS: number): Promise<RigLook> {
    const { link } = this;
    await link.requestAtOnce({ verb: 'off' });
    const scan = await this.#wideScan();
    const { frames, lostFrames } = await this.#frames(durationS);
    const fine = scan === scanList(MOTOR_SCAN) ? await this.#fineLook() : [];
    const state = await link.request({ verb: 'state' });
    const channels = RIG_CHANNELS.map((channel) => lookAt(channel, scan, frames, this.profile));
    return { state, channels, fine, lostFrames };
  }

  /** Reads the finer input with the list of small motors, and puts the usual list back. */
  async #fineLook(): Promise<FineLook[]> {
    const { link, profile } = this;
    const channel = 'motorCurrentA';
    const scale = profile.fineScales?.[channel];
    const { mode } = await link.request({ verb: 'state' });
    if (scale === undefined || mode !== 'idle') return [];
    const scan = scanList(SMALL_MOTOR_SCAN);
    try {
      await link.request({ verb: 'set-scan', scan });
    } catch (error) {
      // An older image knows no letter for it.
      if (error instanceof LinkError && error.code === 'refused') return [];
      throw error;
    }
    const { frames } = await this.#frames(FINE_LOOK_S);
    await link.request({ verb: 'set-scan', scan: scanList(MOTOR_SCAN) });
    const seen = readAt(fineLetterOf(channel), scale, { scan, frames, adcBits: profile.adcBits });
    return [{ channel, ...seen, ...known({ lack: fineLack(channel, scan, frames, profile) }) }];
  }

  async #frames(durationS: number): Promise<{ frames: Frame[]; lostFrames: number }> {
    const { link } = this;
    const frames: Frame[] = [];
    let lostFrames = 0;
    const unsubscribe = link.onEvent((event) => {
      if (event.kind !== 'frame') return;
      frames.push(event.frame);
      lostFrames += event.lost;
    });
    try {
      link.isWatching = true;
      await link.request({ verb: 'stream', stream: 'on' });
      await link.options.clock.sleep(durationS);
      await link.request({ verb: 'stream', stream: 'off' });
    } finally {
      link.isWatching = false;
      unsubscribe();
    }
    return { frames, lostFrames };
  }

  /**
   * Writes the id into the board's EEPROM and reads it back over a new connection. `isProven` when that restarted the
   * board, so that the answer came out of the EEPROM; a board that opening does not reset answers from memory.
   * Rejects with a LinkError, also when another id comes back.
   */
  async storeId(rigId: string): Promise<{ isProven: boolean }> {
    const { link } = this;
    const { stop, stopLoop } = await link.request({ verb: 'state' });
    if (stop !== 'none' && stopLoop === 'open') {
      const said = 'a stop is latched and the stop loop is open; release the stop button first';
      throw new LinkError('refused', { path: link.path, request: 'set-rig', said });
    }
    if (stop !== 'none') await link.request({ verb: 'clear' });
    await link.request({ verb: 'set-rig', rigId });
    await link.options.clock.sleep(EEPROM_S);
    const { boardMs: beforeMs } = await link.request({ verb: 'state' });
    await link.close();
    this.#board = await link.open();
    const { boardMs: afterMs } = await link.request({ verb: 'state' });
    checkRigId(link.path, this.#board.hello.rigId, rigId);
    return { isProven: afterMs < beforeMs };
  }

  /** All outputs off, the port closed. */
  async close(): Promise<void> {
    if (this.link.state === 'ready') await this.link.requestAtOnce({ verb: 'off' }).catch(() => undefined);
    await this.link.close();
  }

  /** The list with every channel in it, which a stopped board does not take; then what it has. */
  async #wideScan(): Promise<string> {
    const { link } = this;
    const wide = scanList(MOTOR_SCAN);
    const { scan } = await link.request({ verb: 'scan' });
    if (scan === wide) return scan;
    const { mode } = await link.request({ verb: 'state' });
    if (mode !== 'idle') return scan;
    await link.request({ verb: 'set-scan', scan: wide });
    return wide;
  }
}

function lookAt(
  channel: Channel,
  scan: string,
  frames: readonly Frame[],
  { scales, adcBits }: RigProfile,
): ChannelLook {
  return { channel, ...readAt(letterOf(channel), scales[channel], { scan, frames, adcBits }) };
}

interface Sampled {
  scan: string;
  frames: readonly Frame[];
  adcBits: number;
}

function readAt(
  letter: string,
  { atZeroCount, perCount }: { atZeroCount: number; perCount: number },
  { scan, frames, adcBits }: Sampled,
): Omit<ChannelLook, 'channel'> {
  const slots = [...scan].flatMap((own, slot) => (own === letter ? [slot] : []));
  const counts = frames.flatMap((frame) => slots.map((slot) => wordAt(frame.counts, slot)));
  const mean = counts.reduce((sum, count) => sum + count, 0) / counts.length;
  const variance = counts.reduce((sum, count) => sum + (count - mean) ** 2, 0) / counts.length;
  const scatter = Math.sqrt(variance);
  return {
    samples: counts.length,
    counts: { mean, scatter },
    pinVoltageV: (mean * REFERENCE_V) / 2 ** adcBits,
    reading: { mean: atZeroCount + perCount * mean, scatter: scatter * Math.abs(perCount) },
  };
}
