// Brings the samples of a frame, which were converted one after another, onto one uniform grid. Between two samples
// of a channel the value is a straight line; a throw in between is a corner, so that nothing shows before its cause.
// A grid point whose neighbours are not there is NaN, never guessed. A channel that a finer input reads too is taken from
// that, and from its own input where the finer one has come to its end.

import { BOARD, type Frame } from '../../firmware-protocol/index.js';
import { itemAt, lastOf, wordAt } from '../arrays/index.js';
import {
  CHANNEL,
  CHANNELS,
  type Channel,
  channelOfLetter,
  type Feed,
  type Position,
} from '../capture/index.js';
import type { SampleBlock } from './rig.js';

export interface GridOptions {
  /** One letter a slot. */
  scan: string;
  frameS: number;
  /** Grid points in one frame. */
  pointsPerFrame: number;
  scales: Record<Channel, GridScale>;
  /** Of the finer inputs that the scan list holds. */
  fineScales?: { readonly [C in Channel]?: GridScale | undefined } | undefined;
}

/** Reading at count 0 and the step of one count. */
interface GridScale {
  atZeroCount: number;
  perCount: number;
}

interface Knot {
  timeS: number;
  value: number;
}

const FULL_COUNT = 2 ** BOARD.adcBits - 1;
/** An amplifier comes to within 0.1 V of its rails, 20.5 counts (RIG.md, section 4), and bends before: beyond, the plain input tells. */
const FINE_END_COUNTS = 25;

const isWithinFine = (count: number): boolean =>
  count > FINE_END_COUNTS && count < FULL_COUNT - FINE_END_COUNTS;

const outermost = (end: number, plain: number): number =>
  end < 0 ? Math.min(end, plain) : Math.max(end, plain);

/** One conversion of a frame, by its place and its scale. */
interface Slot {
  slot: number;
  scale: GridScale;
  isFine: boolean;
}

class ChannelLine {
  /** Of this channel in a frame, rising. */
  readonly slots: Slot[];
  /** Whether the finer input saw the newest of its samples; no matter where there is none. */
  isFinelySeen = false;
  /** Newest reading of the plain input. */
  plainValue = 0;
  spacingS = 0;
  last: Knot | undefined;
  /** Frames are missing between `last` and the next sample. */
  isCut = false;
  /** Next grid point to fill. */
  nextPoint = 0;
  values: number[] = [];

  constructor(
    readonly channel: Channel,
    first: Slot,
  ) {
    this.slots = [first];
  }

  get firstSlot(): number {
    return itemAt(this.slots, 0).slot;
  }
}

/** What changes now and then, as changes that are not yet behind the grid. */
class Changes<T> {
  /** Rules up to the first of the later ones. */
  #now: T;
  readonly #later: { fromS: number; value: T }[] = [];

  constructor(value: T) {
    this.#now = value;
  }

  get newest(): T {
    return this.#later.at(-1)?.value ?? this.#now;
  }

  change(fromS: number, value: T): void {
    if (value !== this.newest) this.#later.push({ fromS, value });
  }

  /** Times asked for only rise. */
  at(timeS: number): T {
    for (let [next] = this.#later; next !== undefined && next.fromS <= timeS; [next] = this.#later) {
      this.#now = next.value;
      this.#later.shift();
    }
    return this.#now;
  }
}

export class UniformGrid {
  readonly sampleRateHz: number;
  readonly #pointS: number;
  readonly #slotS: number;
  readonly #lines: ChannelLine[];
  readonly #thrown = new Changes<Position>('rest');
  readonly #fed = new Changes<Feed>('off');
  /** Instant of the newest throw or release; a slow channel's next sample may be a frame later. */
  #cornerS = Number.NEGATIVE_INFINITY;
  #emitted = 0;
  #nextIndex = 0;
  /** Samples at an end of the converter's range, where the true value may lie beyond; a scale that begins at 0 rests there. */
  clippedSamples = 0;

  constructor(readonly options: GridOptions) {
    const { scan, frameS, pointsPerFrame, scales, fineScales } = options;
    this.#pointS = frameS / pointsPerFrame;
    this.#slotS = frameS / scan.length;
    this.sampleRateHz = Math.round(pointsPerFrame / frameS);
    const byChannel = new Map<Channel, ChannelLine>();
    for (const [slot, letter] of [...scan].entries()) {
      const channel = channelOfLetter(letter);
      const isFine = CHANNEL[channel].fineLetter === letter;
      const scale = isFine ? fineScales?.[channel] : scales[channel];
      // Left by an earlier program, which knew more of this rig.
      if (scale === undefined) continue;
      const own = { slot, scale, isFine };
      const line = byChannel.get(channel);
      if (line) line.slots.push(own);
      else byChannel.set(channel, new ChannelLine(channel, own));
    }
    this.#lines = CHANNELS.flatMap((channel) => byChannel.get(channel) ?? []);
    for (const line of this.#lines) {
      const fine = line.slots.filter(({ isFine }) => isFine);
      const places = (fine.length > 0 ? fine : line.slots).map(({ slot }) => slot);
      const next = [...places.slice(1), itemAt(places, 0) + scan.length];
      line.spacingS = Math.max(...places.map((slot, i) => itemAt(next, i) - slot)) * this.#slotS;
    }
  }

  /** Channels that the scan list holds. */
  get channels(): Channel[] {
    return this.#lines.map(({ channel }) => channel);
  }

  /** From the last to the next conversion around lost frames, over all channels: where grid points are NaN. */
  missingStretch(index: number, lost: number): { fromS: number; toS: number } {
    const { frameS } = this.options;
    const lastSlot = Math.min(...this.#lines.map(({ slots }) => lastOf(slots).slot));
    const firstSlot = Math.max(...this.#lines.map(({ firstSlot }) => firstSlot));
    return {
      fromS: Math.max(0, (index - lost - 1) * frameS + lastSlot * this.#slotS),
      toS: index * frameS + firstSlot * this.#slotS,
    };
  }

  /** `index` counts frames from the start of the stream, lost ones included; it only rises. */
  add(frame: Frame, index: number): void {
    const startS = index * this.options.frameS;
    this.#noteThrow(frame, startS);
    // A frame tells its feed at its end; the change lay somewhere in it.
    this.#fed.change(startS, frame.feed);
    const isAfterGap = index !== this.#nextIndex;
    this.#nextIndex = index + 1;
    const corner = this.#cornerS;
    for (const line of this.#lines) {
      line.isCut = isAfterGap && line.last !== undefined;
      for (const { slot, scale, isFine } of line.slots) {
        const count = wordAt(frame.counts, slot);
        const read = scale.atZeroCount + scale.perCount * count;
        if (isFine) line.isFinelySeen = isWithinFine(count);
        else line.plainValue = read;
        if (!isFine && line.isFinelySeen) continue;
        if (!isFine && (count === FULL_COUNT || (count === 0 && scale.atZeroCount < 0)))
          this.clippedSamples += 1;
        const timeS = startS + slot * this.#slotS;
        // Beyond the finer input's end the current is what the plain one read last, and that end at the least.
        const value = isFine && !line.isFinelySeen ? outermost(read, line.plainValue) : read;
        const { last } = line;
        // Continuity up to the throw, then a straight line to the first sample after it.
        if (last !== undefined && !line.isCut && last.timeS < corner && corner < timeS) {
          this.#fill(line, { timeS: corner, value: last.value });
        }
        this.#fill(line, { timeS, value });
      }
    }
  }

  /** Takes the grid points that are complete in every channel; undefined when there are none. */
  take(): SampleBlock | undefined {
    const count = Math.min(...this.#lines.map((line) => line.values.length));
    if (count === 0) return undefined;
    const timeS = Float64Array.from({ length: count }, (_, i) => (this.#emitted + i) * this.#pointS);
    const channels: SampleBlock['channels'] = {};
    for (const line of this.#lines) {
      channels[line.channel] = Float64Array.from(line.values.slice(0, count));
      line.values = line.values.slice(count);
    }
    const position = Array.from(timeS, (pointS) => this.#thrown.at(pointS));
    const feed = Array.from(timeS, (pointS) => this.#fed.at(pointS));
    this.#emitted += count;
    return { timeS, position, feed, channels };
  }

  /** A throw or release inside this frame lies half a slot before the first sample that saw it. */
  #noteThrow(frame: Frame, startS: number): void {
    if (this.#thrown.newest === frame.position) return;
    this.#cornerS = startS + (frame.sinceSlot - 0.5) * this.#slotS;
    this.#thrown.change(this.#cornerS, frame.position);
  }

  /** Fills the grid points up to `knot`, which becomes the channel's last one. */
  #fill(line: ChannelLine, knot: Knot): void {
    for (;;) {
      const pointS = line.nextPoint * this.#pointS;
      // A rounding error must not push a point that falls on a sample into the next stretch.
      if (pointS > knot.timeS + 1e-9) break;
      line.values.push(valueAt(pointS, line, knot));
      line.nextPoint += 1;
    }
    line.last = knot;
    line.isCut = false;
  }
}

function valueAt(pointS: number, { last, isCut, spacingS }: ChannelLine, next: Knot): number {
  if (Math.abs(pointS - next.timeS) < 1e-9) return next.value;
  // Before a channel's first sample, at most one distance: everything is off there.
  if (last === undefined) return next.timeS - pointS <= spacingS ? next.value : Number.NaN;
  if (isCut) return Number.NaN;
  const share = (pointS - last.timeS) / (next.timeS - last.timeS);
  return last.value + share * (next.value - last.value);
}
