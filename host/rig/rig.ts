// What a rig can do, in engineering units. The driver over the serial link implements it; bench/ uses it.

import type { Channel, Feed, Position, SampleBlock } from '../capture/index.js';
import { known } from '../fields/index.js';
import type { Clock } from '../link/index.js';
import type { RigProfile } from '../profile/index.js';
import type { Burst, BurstRequest } from './burst.js';
import type { FineReading } from './fine-look.js';
import type { ScanChoice } from './scan-list.js';
import type { StuckBit } from './stuck-bits.js';

export type { Feed, SampleBlock } from '../capture/index.js';

/** Which rig it is, as the board told it in the handshake; kept with every run. */
export interface RigIdentity {
  rigId: string;
  model: string;
  firmwareVersion: string;
  protocolVersion: string;
  /** Of the rig's circuit, as the board reads it off its straps; absent where the firmware does not tell it. */
  hardwareRevision?: number;
  /** Where it is connected: a port path, or `virtual`. */
  port: string;
  /** No rig at all: the readings were typed by a person with a hand meter. */
  isHandMeter?: true;
}

/** What stands in a record in the rig's place when a person measured with a hand meter. */
export const HAND_METER: RigIdentity = {
  ...{ rigId: 'hand-meter', model: 'hand meter', port: 'hand', isHandMeter: true },
  ...{ firmwareVersion: 'none', protocolVersion: 'none' },
};

/** What the board says of itself in the handshake. */
export interface RigFacts extends RigIdentity {
  deadTimeS: number;
  longestHoldS: number;
  hostSilenceS: number;
  /** Why the board had stopped before this program came, when it still knew. */
  earlierStop?: StopReason;
  /** Uniform grid on which samples are delivered; follows the scan list. */
  sampleRateHz: number;
  /** How often the board samples each channel; a channel that is not in its scan list is not there. */
  channelRatesHz?: Partial<Record<Channel, number>>;
}

/** First stop reason latched by the board, or what the link saw. */
export type StopReason =
  | 'over-current'
  | 'stop-input'
  | 'host-silence'
  | 'longest-hold'
  | 'watchdog'
  | 'host-request'
  | 'link-lost';

export type RigEvent =
  | { kind: 'samples'; block: SampleBlock }
  | { kind: 'gap'; fromS: number; toS: number; lostFrames: number }
  /** `sentence` is the board's own, more exact word: which current tripped, for one. */
  | { kind: 'stopped'; reason: StopReason; sentence?: string }
  | { kind: 'lost'; sentence: string; advice?: string };

export interface Rig {
  readonly facts: RigFacts;
  readonly clock: Clock;
  /** Subscribes to everything that happens; returns the unsubscribe function. */
  onEvent(listener: (event: RigEvent) => void): () => void;
  setTrip(limits: RigProfile['trip']): Promise<void>;
  arm(): Promise<void>;
  setFeed(feed: Feed): Promise<void>;
  /** Puts the coils' feed past its limiter, or back; not there where the rig has no limiter. Everything that switches off puts it back. */
  setCoilFeed?(coil: 'limited' | 'full'): Promise<void>;
  /** Whether the feed to the unit has voltage now, by the rig's own sense; not there where the rig has none. */
  feedBusIsLive?(): Promise<boolean>;
  /** Throws or releases. The board refuses inside its dead time; the driver waits it out first. */
  setPosition(position: Position, holdS: number): Promise<void>;
  /**
   * Chooses which channels the board samples fast and which slowly; `facts` follow. The board refuses while it streams
   * or is armed. Throws a RangeError for a choice that no rig can keep.
   */
  setScan?(choice: ScanChoice): Promise<void>;
  /**
   * Turns to the rig's finer input for the motor current, from now on, where it is there and agrees with the plain one while all
   * outputs are off; tells why where not, and nothing changes then. Idle and with the stream off only.
   */
  readFinely?(): Promise<FineReading>;
  startStream(): Promise<void>;
  stopStream(): Promise<void>;
  /**
   * Asks for a burst and resolves when the board waits for its edge; the stream must be off. `read` resolves with the
   * samples once the board has them, and rejects when they have not come `withinS`.
   */
  prepareBurst?(request: BurstRequest): Promise<{ read(withinS: number): Promise<Burst> }>;
  /**
   * All outputs off, at once, in any state; resolves when the board has confirmed or the link is gone. A board that refuses, or
   * says that they are still on, is told as `lost`.
   */
  allOff(): Promise<void>;
  /** Clears the latched stop reason; one that nobody has told of yet comes as `stopped` first. */
  clearStop(): Promise<void>;
  /** Link counters and versions for the record. */
  counters(): Record<string, number>;
  /** Bits of the samples so far that never changed although the readings ran past where they must. */
  stuckBits?(): StuckBit[];
  /** Rotating raw trace of the link's lines for the record, oldest first. */
  rawLines?(): string[];
  close(): Promise<void>;
}

export function identityOf({ facts }: Pick<Rig, 'facts'>): RigIdentity {
  const { rigId, model, firmwareVersion, protocolVersion, hardwareRevision, port } = facts;
  return { rigId, model, firmwareVersion, protocolVersion, ...known({ hardwareRevision }), port };
}
