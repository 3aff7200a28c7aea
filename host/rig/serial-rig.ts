// The rig over the serial link: engineering units in and out, dead time waited out, samples on a uniform grid.
// It judges nothing and keeps no capture.

import type { Frame, ReplyOf, Request, StopName } from '../../firmware-protocol/index.js';
import type { Position } from '../capture/index.js';
import { type Clock, type Link, LinkError, type LinkEvent } from '../link/index.js';
import type { RigProfile } from '../profile/index.js';
import { stopClause } from '../tell/index.js';
import { hasSelfTest } from './board-lacks.js';
import type { Burst, BurstRequest } from './burst.js';
import { prepareBurst } from './burst-reader.js';
import { type FineReading, fineLack } from './fine-look.js';
import { tripCounts } from './limits.js';
import type { Feed, Rig, RigEvent, RigFacts, StopReason } from './rig.js';
import {
  channelRatesHz,
  MOTOR_SCAN,
  pointsPerFrame,
  type ScanChoice,
  SMALL_MOTOR_SCAN,
  scanList,
} from './scan-list.js';
import { CountWatch, type StuckBit } from './stuck-bits.js';
import { UniformGrid } from './uniform-grid.js';

/** Samples are handed on in blocks of this many frames, or sooner when something happens. */
const FRAMES_PER_BLOCK = 10;
/** The board's clock may run slower than ours by this (ceramic resonator, common data sheet figure). */
const CLOCK_MARGIN = 1.005;
const DEAD_TIME_REFUSAL = 33;
const FEED_LIVE_REFUSAL = 39;
const ARGUMENT_VALUE_REFUSAL = 22;
/** Frames enough that the mean of either input is far finer than a count of it. */
const FINE_LOOK_S = 0.05;
/** Small motors have stopped by then (common practice, no source). */
const SPIN_DOWN_S = 2;
const SPIN_DOWN_POLL_S = 0.05;
/** The board says how long is left; an emulated one on a busy machine may take many times that. */
const DEAD_TIME_TRIES = 25;
const TRIP_WORDS = {
  motorCounts: 'counts of the motor current at which it trips:',
  feedCounts: 'counts of the feed current at which it trips:',
  samples: 'samples in a row at which it trips:',
} as const;
/** Longer than any answer takes on a working link; the link's own loss comes before it. */
const OFF_ATTEMPTS = 20;
const OFF_PATIENCE_S = 0.04;

export const STOP_OF_BOARD: Record<Exclude<StopName, 'none'>, StopReason> = {
  'motor-over-current': 'over-current',
  'feed-over-current': 'over-current',
  'stop-input': 'stop-input',
  'host-silence': 'host-silence',
  'longest-hold': 'longest-hold',
  watchdog: 'watchdog',
  'host-request': 'host-request',
};

export async function setDeadTime(link: Link, { deadTimeS }: RigProfile): Promise<void> {
  await link.request({ verb: 'set-dead', deadMs: Math.ceil(deadTimeS * 1000) });
}

/** Made by connectRig, which has greeted the board and read its facts. */
export class SerialRig implements Rig {
  readonly clock: Clock;
  readonly #listeners = new Set<(event: RigEvent) => void>();
  #grid!: UniformGrid;
  #framesHeld = 0;
  #isStreaming = false;
  #isArmed = false;
  #thrown: Position = 'rest';
  /** Host time at which the board's longest hold ends the throw that is on. */
  #holdUntilS = 0;
  /** Host time from which the next throw is possible. */
  #throwableFromS = 0;
  #stopSeen = false;
  #boardCounters: Record<string, number> = {};
  readonly #counts = new CountWatch();
  #facts: RigFacts;
  #scan = '';
  readonly setCoilFeed?: (coil: 'limited' | 'full') => Promise<void>;
  readonly feedBusIsLive?: () => Promise<boolean>;
  /** False while a change of the scan list has been asked for and not been seen. */
  #isScanSure = true;

  constructor(
    readonly link: Link,
    facts: Omit<RigFacts, 'sampleRateHz' | 'channelRatesHz'>,
    readonly profile: RigProfile,
    scan: string,
    readonly constants: ReplyOf<'constants'>,
  ) {
    this.clock = link.options.clock;
    this.#facts = { ...facts, sampleRateHz: 0 };
    this.#followScan(scan);
    if (hasSelfTest(facts)) {
      this.setCoilFeed = async (coil) => {
        await link.request({ verb: 'coil', coil });
      };
      this.feedBusIsLive = async () => (await link.request({ verb: 'state' })).feedBus === 'live';
    }
    // The dead time of a throw that an earlier program released may still run.
    this.#throwableFromS = this.clock.nowS() + facts.deadTimeS * CLOCK_MARGIN;
    link.onEvent((event) => this.#hear(event));
  }

  get facts(): RigFacts {
    return this.#facts;
  }

  onEvent(listener: (event: RigEvent) => void): () => void {
    this.#listeners.add(listener);
    return () => this.#listeners.delete(listener);
  }

  async setTrip(limits: RigProfile['trip']): Promise<void> {
    const wanted = tripCounts(limits, this.profile.scales);
    await this.link.request({ verb: 'set-trip', ...wanted });
    const kept = await this.link.request({ verb: 'limits' });
    const { path } = this.link;
    for (const name of ['motorCounts', 'feedCounts', 'samples'] as const) {
      if (kept[name] === wanted[name]) continue;
      const said = `${TRIP_WORDS[name]} ${kept[name]}, not ${wanted[name]}`;
      throw new LinkError('limits-not-kept', { path, said });
    }
    if (kept.deadMs < Math.ceil(1000 * this.profile.deadTimeS))
      throw new LinkError('limits-not-kept', {
        path,
        said: `dead time ${kept.deadMs} ms, not ${Math.ceil(1000 * this.profile.deadTimeS)}`,
      });
  }

  async arm(): Promise<void> {
    this.#isArmed = true;
    this.#watch();
    try {
      await this.#armOnceDead();
    } catch (error) {
      this.#isArmed = false;
      this.#watch();
      throw error;
    }
  }

  /** A motor that still turns may hold the feed up by itself, where its leads rest on it; what stays live is refused. */
  async #armOnceDead(): Promise<void> {
    const untilS = this.clock.nowS() + SPIN_DOWN_S;
    for (;;) {
      try {
        await this.link.request({ verb: 'arm' });
        return;
      } catch (error) {
        const isLive = error instanceof LinkError && error.details.refusal === FEED_LIVE_REFUSAL;
        if (!isLive || this.clock.nowS() >= untilS) throw error;
        await this.clock.sleep(SPIN_DOWN_POLL_S);
      }
    }
  }

  async setFeed(feed: Feed): Promise<void> {
    await this.link.request({ verb: 'feed', feed });
  }

  async setPosition(position: Position, holdS: number): Promise<void> {
    if (position === 'rest') {
      await this.#release();
      return;
    }
    if (!(holdS > 0))
      throw new RangeError(`a throw for ${holdS} s is none; it needs a longest hold above 0 s`);
    if (holdS > this.facts.longestHoldS) {
      throw new RangeError(
        `a throw may last ${holdS} s by the plan; this rig holds one for at most ${this.facts.longestHoldS} s`,
      );
    }
    if (this.#thrown === position && this.#holdUntilS >= this.clock.nowS() + holdS) return;
    if (this.#thrown !== 'rest') await this.#release();
    await this.#throw(position, Math.ceil(holdS * 1000));
  }

  async setScan(choice: ScanChoice): Promise<void> {
    const wanted = scanList(choice);
    this.#isScanSure = false;
    try {
      await this.link.request({ verb: 'set-scan', scan: wanted });
    } finally {
      await this.#askScan();
    }
  }

  async readFinely(): Promise<FineReading> {
    if (this.profile.fineScales?.motorCurrentA === undefined)
      return { lack: fineLack('motorCurrentA', '', [], this.profile) ?? '' };
    try {
      await this.setScan(SMALL_MOTOR_SCAN);
    } catch (error) {
      const isUnknown = error instanceof LinkError && error.details.refusal === ARGUMENT_VALUE_REFUSAL;
      if (!isUnknown) throw error;
      const { firmwareVersion } = this.facts;
      return { lack: `The firmware ${firmwareVersion} of this rig knows no amplifier for small currents.` };
    }
    const lack = fineLack('motorCurrentA', this.#scan, await this.#framesAtRest(), this.profile);
    if (lack === undefined) return { channels: ['motorCurrentA'] };
    await this.setScan(MOTOR_SCAN);
    return { lack };
  }

  async #framesAtRest(): Promise<Frame[]> {
    const frames: Frame[] = [];
    const unsubscribe = this.link.onEvent((event) => {
      if (event.kind === 'frame') frames.push(event.frame);
    });
    this.link.isWatching = true;
    try {
      await this.link.request({ verb: 'stream', stream: 'on' });
      await this.clock.sleep(FINE_LOOK_S);
      await this.link.request({ verb: 'stream', stream: 'off' });
    } finally {
      unsubscribe();
      this.#watch();
    }
    return frames;
  }

  async startStream(): Promise<void> {
    // Counts under a wrong name would look like samples.
    if (!this.#isScanSure) await this.#askScan();
    this.#grid = this.#newGrid();
    this.#framesHeld = 0;
    this.#isStreaming = true;
    this.#watch();
    await this.link.request({ verb: 'stream', stream: 'on' });
  }

  async stopStream(): Promise<void> {
    try {
      await this.link.request({ verb: 'stream', stream: 'off' });
      this.#boardCounters = { ...(await this.link.request({ verb: 'counters' })) };
    } finally {
      this.#handOn();
      this.#isStreaming = false;
      this.#watch();
    }
  }

  prepareBurst(request: BurstRequest): Promise<{ read(withinS: number): Promise<Burst> }> {
    return prepareBurst(this.link, request, this.constants.clockHz, this.profile.scales);
  }

  async allOff(): Promise<void> {
    this.#thrown = 'rest';
    this.#isArmed = false;
    this.#throwableFromS = this.clock.nowS() + this.facts.deadTimeS * CLOCK_MARGIN;
    try {
      await this.link.requestAtOnce({ verb: 'off' }, { attempts: OFF_ATTEMPTS, patienceS: OFF_PATIENCE_S });
      const { position, feed } = await this.link.request({ verb: 'state' });
      if (position !== 'rest' || feed !== 'off') this.#tellMayBeOn(`it says ${position}, feed ${feed}`);
    } catch (error) {
      if (!(error instanceof LinkError)) throw error;
      // Else a newer off has taken this one's place, or the link is gone, which is told by itself.
      if (error.code === 'refused' || error.code === 'reply-timeout') this.#tellMayBeOn(error.message);
    }
    this.#throwableFromS = this.clock.nowS() + this.facts.deadTimeS * CLOCK_MARGIN;
    this.#watch();
  }

  async clearStop(): Promise<void> {
    const { stop } = await this.link.request({ verb: 'clear' });
    // The stop may have come while the clear was on its way: then nobody but its answer tells of it.
    if (stop !== undefined && stop !== 'none') this.#tellStop(stop);
    this.#stopSeen = false;
    await setDeadTime(this.link, this.profile);
  }

  counters(): Record<string, number> {
    const board = Object.entries(this.#boardCounters).map(([name, value]) => [`board-${name}`, value]);
    return {
      ...this.link.counters,
      clippedSamples: this.#grid.clippedSamples,
      ...(Object.fromEntries(board) as Record<string, number>),
    };
  }

  stuckBits(): StuckBit[] {
    return this.#counts.stuck();
  }

  rawLines(): string[] {
    return this.link.trace.lines();
  }

  async close(): Promise<void> {
    if (this.link.state === 'ready') await this.allOff();
    await this.link.close();
  }

  async #askScan(): Promise<void> {
    const { scan } = await this.link.request({ verb: 'scan' });
    this.#isScanSure = true;
    if (scan !== this.#scan) this.#followScan(scan);
  }

  #followScan(scan: string): void {
    const frameS = this.constants.frameUs / 1e6;
    this.#scan = scan;
    this.#grid = this.#newGrid();
    this.#facts = {
      ...this.#facts,
      sampleRateHz: this.#grid.sampleRateHz,
      channelRatesHz: channelRatesHz(scan, frameS),
    };
  }

  async #release(): Promise<void> {
    await this.link.request({ verb: 'release' });
    if (this.#thrown !== 'rest') {
      this.#throwableFromS = this.clock.nowS() + this.facts.deadTimeS * CLOCK_MARGIN;
    }
    this.#thrown = 'rest';
  }

  async #throw(position: 'forward' | 'reverse', holdMs: number): Promise<void> {
    const request: Request = { verb: 'throw', position, holdMs };
    for (let tries = DEAD_TIME_TRIES; ; tries--) {
      const waitS = this.#throwableFromS - this.clock.nowS();
      if (waitS > 0) await this.clock.sleep(waitS);
      if (this.link.state !== 'ready') throw new LinkError('link-lost', { path: this.facts.port });
      try {
        // Noted before sending: whatever becomes of the answer, the throw may be on.
        this.#thrown = position;
        this.#holdUntilS = this.clock.nowS() + holdMs / 1000;
        await this.link.request(request);
        return;
      } catch (error) {
        if (!(error instanceof LinkError) || error.code !== 'refused') throw error;
        this.#thrown = 'rest';
        if (error.details.refusal !== DEAD_TIME_REFUSAL || tries === 0) throw error;
        this.#throwableFromS = this.clock.nowS() + ((error.details.refusalDetail ?? 0) + 2) / 1000;
      }
    }
  }

  #hear(event: LinkEvent): void {
    if (event.kind === 'frame') this.#takeFrame(event.frame, event.index, event.lost);
    else if (event.kind === 'stopped') {
      this.#handOn();
      this.#isArmed = false;
      this.#thrown = 'rest';
      this.#throwableFromS = this.clock.nowS() + this.facts.deadTimeS * CLOCK_MARGIN;
      this.#tellStop(event.stop);
    } else if (event.kind === 'lost') {
      this.#handOn();
      this.#tell({ kind: 'lost', sentence: event.error.message, advice: event.error.advice });
    }
  }

  #tellMayBeOn(said: string): void {
    const { message, advice } = new LinkError('outputs-in-doubt', { path: this.link.path, said });
    this.#tell({ kind: 'lost', sentence: message, advice });
  }

  /** Once, until it is cleared. */
  #tellStop(stop: Exclude<StopName, 'none'>): void {
    if (this.#stopSeen) return;
    this.#stopSeen = true;
    this.#tell({ kind: 'stopped', reason: STOP_OF_BOARD[stop], sentence: stopClause(stop) });
  }

  #takeFrame(frame: Frame, index: number, lost: number): void {
    if (!this.#isStreaming) return;
    if (lost > 0) {
      this.#handOn();
      this.#tell({ kind: 'gap', ...this.#grid.missingStretch(index, lost), lostFrames: lost });
    }
    this.#grid.add(frame, index);
    this.#counts.add(this.#scan, frame.counts);
    this.#framesHeld += 1;
    if (this.#framesHeld >= FRAMES_PER_BLOCK) this.#handOn();
  }

  #handOn(): void {
    this.#framesHeld = 0;
    const block = this.#grid.take();
    if (block !== undefined) this.#tell({ kind: 'samples', block });
  }

  #newGrid(): UniformGrid {
    return new UniformGrid({
      scan: this.#scan,
      frameS: this.constants.frameUs / 1e6,
      pointsPerFrame: pointsPerFrame(this.#scan),
      scales: this.profile.scales,
      fineScales: this.profile.fineScales,
    });
  }

  #watch(): void {
    this.link.isWatching = this.#isArmed || this.#isStreaming;
  }

  #tell(event: RigEvent): void {
    for (const listener of this.#listeners) listener(event);
  }
}
