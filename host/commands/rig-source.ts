// The rig as a source of readings: a person bites a sense clip on the place named, the rig makes one throw and reads it,
// and the clip goes back, seen by the lead's own readings, before any run is made again.

import {
  type Connection,
  type LimitedLevel,
  limitedCheck,
  limitedLevels,
  probeThrow,
} from '../bench/index.js';
import type { Capture } from '../capture/index.js';
import { CLIP_CHANNELS, type SenseClip } from '../circuit/index.js';
import {
  type At,
  type End,
  meterUncertainty,
  type Probe,
  type Reading,
  type ReadingSource,
} from '../probe/index.js';
import type { ResolvedUnit } from '../profile/index.js';
import type { EntryContent } from '../records/index.js';
import { amount, capitalised } from '../tell/index.js';
import { type ProbeTold, standing } from './probe-told.js';

/** A person at the bench: `skip` where it cannot be done, `undo` to take the answer before back, `stop` to leave. */
export type Answer = 'done' | 'skip' | 'undo' | 'stop';

export interface RigBench {
  unit: ResolvedUnit;
  clip: SenseClip;
  /** With the probe's clip where a person has put it; none: every clip where it belongs. */
  connect(probe: Probe | undefined): Promise<Connection>;
  ask(sentence: string): Promise<Answer>;
  keep(entry: EntryContent): void;
  /** Capture of the run that is probed. */
  capture: Capture | undefined;
  signal: AbortSignal;
  /** Listens to the keys while something may be energised: `off` puts outputs off. Absent where no keys can be had. */
  whileLive?<T>(off: () => void, work: () => Promise<T>): Promise<T>;
  /** Rig whose clip has been away since an earlier probing of this run. */
  awayFrom?: string | undefined;
  /** Takes the probes that the rig has no part in; absent where nobody can. */
  byHand?: ReadingSource;
}

/** As before within this: supply and motor are a little warmer. Common practice, no source. */
const SAME_V = 0.6;
const SAME_PART = 0.06;

export class RigSource implements ReadingSource {
  /** Rig whose clip is away. */
  #awayFrom: string | undefined;

  constructor(
    readonly bench: RigBench,
    readonly told: ProbeTold,
  ) {
    this.#awayFrom = bench.awayFrom;
  }

  get isAway(): boolean {
    return this.#awayFrom !== undefined;
  }

  can(probe: Probe): boolean {
    if (probe.does === 'clip') return probe.clip === this.bench.clip;
    return probe.state !== 'thrown' && this.bench.byHand !== undefined;
  }

  async ends(end: End): Promise<'stands' | 'undo'> {
    return (await this.bench.byHand?.ends?.(end)) ?? 'stands';
  }

  async take(probe: Probe, at: At): Promise<Reading | 'passed-over' | 'undo' | 'stop'> {
    const { bench, told } = this;
    if (probe.does !== 'clip') return bench.byHand?.take(probe, at) ?? 'passed-over';
    told.next(probe, standing(at));
    const connection = await bench.connect(probe);
    try {
      const { rig } = connection;
      await rig.allOff();
      this.#moved(rig.facts.rigId, probe);
      const [place] = probe.where;
      const lead = leadOf(bench.clip);
      for (;;) {
        const answer = await bench.ask(
          `Outputs are off. Bite the sense clip of ${lead} on ${place?.words ?? ''}. ${capitalised(lead)} itself is not read meanwhile.`,
        );
        if (answer !== 'done') return answer === 'skip' ? 'passed-over' : answer;
        const way = probe.way ?? 'forward';
        const { feed } = at.probing.start;
        const { read, isStopped } = await this.#live((signal) =>
          probeThrow(rig, {
            ...{ way, feed, signal, channel: CLIP_CHANNELS[bench.clip] },
            ...{ trip: bench.unit.rig.trip, unit: bench.unit },
          }),
        );
        if ('value' in read) {
          const standardUncertainty = meterUncertainty('rig-volts', read.value);
          return { kind: 'number', value: read.value, standardUncertainty };
        }
        told.lines([`  no reading: ${read.trouble}`], { kind: 'trouble', sentence: read.trouble });
        if (bench.signal.aborted) return 'stop';
        // Whoever stopped it may see to the clip and throw again.
        if (!isStopped) return 'passed-over';
      }
    } finally {
      await connection.close();
    }
  }

  /** Throws while the person can put outputs off by a key, where keys can be had. */
  async #live<T>(work: (signal: AbortSignal) => Promise<T>): Promise<{ read: T; isStopped: boolean }> {
    const { bench } = this;
    const stop = new AbortController();
    const off = (): void => stop.abort();
    bench.signal.addEventListener('abort', off);
    if (bench.signal.aborted) off();
    const run = (): Promise<T> => work(stop.signal);
    try {
      const read = await (bench.whileLive ? bench.whileLive(off, run) : run());
      return { read, isStopped: stop.signal.aborted };
    } finally {
      bench.signal.removeEventListener('abort', off);
    }
  }

  /** Kept before the hand moves it: whatever happens then, the rig makes no run. */
  #moved(rigId: string, probe: Probe): void {
    this.#awayFrom = rigId;
    const sentence = `The sense clip of ${leadOf(this.bench.clip)} was moved to ${probe.where[0]?.words ?? 'a probe'}; ${leadOf(this.bench.clip)} is not read meanwhile.`;
    this.bench.keep({ kind: 'clip-moved', rigId, clip: this.bench.clip, sentence });
  }

  /** Until the clip is seen back, or the person leaves it: then it stays away in the record, and no run is made. */
  async bringBack(): Promise<boolean> {
    const { bench, told } = this;
    const lead = leadOf(bench.clip);
    for (;;) {
      const answer = await bench.ask(
        `Outputs are off. Bite the sense clip of ${lead} back on the motor's terminal.`,
      );
      if (answer !== 'done') {
        const sentence = `The sense clip of ${lead} was not seen back: this rig makes no run until it is.`;
        told.lines([sentence], { kind: 'clip-away', sentence });
        return false;
      }
      const connection = await bench.connect(undefined);
      try {
        const wrong = await this.#wrongIn(connection);
        if (wrong !== undefined) {
          const sentence = `The sense clip of ${lead} does not read right: ${wrong}.`;
          told.lines([sentence], { kind: 'clip-away', sentence });
          continue;
        }
        const sentence = `The sense clip of ${lead} is back on the motor's terminal${this.#seenBy()}.`;
        bench.keep({ kind: 'clip-back', rigId: connection.rig.facts.rigId, clip: bench.clip, sentence });
        told.lines([sentence], { kind: 'clip-back', sentence });
        this.#awayFrom = undefined;
        return true;
      } finally {
        await connection.close();
      }
    }
  }

  #before(): LimitedLevel[] {
    const { capture, clip } = this.bench;
    return capture === undefined ? [] : limitedLevels(capture, CLIP_CHANNELS[clip]);
  }

  #seenBy(): string {
    return this.#before().length > 0
      ? ', seen by the readings of the limited throws'
      : ', by word only: the run has no limited throws to compare with';
  }

  /** What reads otherwise than in the run, through the limited feed. */
  async #wrongIn({ rig }: Connection): Promise<string | undefined> {
    const before = this.#before();
    if (before.length === 0) return undefined;
    const { unit, clip } = this.bench;
    const { read: now } = await this.#live((signal) =>
      limitedCheck(rig, unit.plan.steps, {
        ...{ unit, channel: CLIP_CHANNELS[clip], trip: unit.rig.trip, signal },
      }),
    );
    if ('trouble' in now) return now.trouble.replace(/\.$/, '');
    for (const { position, value } of before) {
      const seen = now.find((level) => level.position === position);
      if (seen === undefined) return `nothing was read in ${position}`;
      if (Math.abs(seen.value - value) <= Math.max(SAME_V, SAME_PART * Math.abs(value))) continue;
      const where = position === 'rest' ? 'at rest' : `thrown ${position}`;
      return `${amount(seen.value, 'V', 1)} ${where}, in the run ${amount(value, 'V', 1)}`;
    }
    return undefined;
  }
}

const leadOf = (clip: SenseClip): string => `lead ${clip.toUpperCase()}`;
