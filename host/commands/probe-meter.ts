// `throwbench probe --profile P --unit TAG`: the wrong wire found with a hand meter before any power, or the unit proven
// right; recorded as a run of its own when it ends.

import { InputError } from '../input/index.js';
import { type Metering, type MeterWay, startMetering } from '../plan/index.js';
import {
  askedFor,
  leftOf,
  type Probe,
  type Reading,
  type ReadingSource,
  standingOf,
  walk,
} from '../probe/index.js';
import type { ResolvedUnit } from '../profile/index.js';
import { openStore } from '../records/index.js';
import { HAND_METER } from '../rig/index.js';
import { type CommandIo, EXIT_OF_VERDICT } from './command.js';
import { meterJudged } from './meter-judged.js';
import { MeterTold } from './meter-told.js';
import { endStands, SKIP, STOP, typedOf, UNDO } from './probe.js';
import { readSettings } from './settings.js';
import { onLeave } from './signals.js';
import { type TypedLines, typedLines } from './typed-lines.js';
import { unitAsBuilt } from './unit-as-built.js';

export interface MeterProbed {
  profile: string;
  tag: string;
  circuit?: string | undefined;
  way: MeterWay;
  json: boolean;
}

/** @returns the exit code of the verdict. @throws InputError for a profile that cannot be read, or has nothing to measure. */
export async function probeWithMeter(
  { profile, tag, circuit, way, json }: MeterProbed,
  io: CommandIo,
  stdin: NodeJS.ReadableStream = process.stdin,
): Promise<number> {
  const unit = unitAsBuilt(profile, circuit);
  const metering = meteringOf(unit, way, profile);
  const { operator } = readSettings();
  const store = openStore();
  const leave = new AbortController();
  const release = onLeave(io, () => leave.abort());
  const lines = typedLines(stdin, leave.signal);
  try {
    const begin = { tag, unit, rig: HAND_METER, startedAt: new Date().toISOString() };
    const runId = store.beginRun({ ...begin, ...(operator === undefined ? {} : { operator }) });
    const told = new MeterTold(io, json);
    told.begun({ runId, tag, unit }, metering);
    const walked = await walk(metering.probing, new HandMeter(told, io, lines, metering), {
      taken: () => {},
      undone: (last) => told.undone(last?.probe),
    });
    const judged = meterJudged(walked, metering);
    store.finishRun(runId, { judgement: judged.judgement });
    told.ended(judged, metering, { runId, count: walked.probing.taken.length });
    return EXIT_OF_VERDICT[judged.judgement.verdict];
  } finally {
    release();
    lines.close();
    store.close();
  }
}

function meteringOf(unit: ResolvedUnit, way: MeterWay, profile: string): Metering {
  const metering = startMetering(unit, way);
  if (metering !== undefined) return metering;
  throw new InputError({
    file: profile,
    what:
      way === 'lamp'
        ? 'nothing of this unit is fed through a lamp'
        : 'a hand meter has nothing to measure here',
    mend:
      way === 'lamp'
        ? 'leave --lamp out and measure in ohms'
        : 'name a profile with a harness, a relay or a motor',
  });
}

/** A person with a hand meter, asked in words. */
class HandMeter implements ReadingSource {
  constructor(
    readonly told: MeterTold,
    readonly io: CommandIo,
    readonly lines: TypedLines,
    readonly metering: Metering,
  ) {}

  can(): boolean {
    return true;
  }

  ends(): Promise<'stands' | 'undo'> {
    return this.told.json ? Promise.resolve('stands') : endStands(this, 'That was the last reading.');
  }

  async take(
    probe: Probe,
    { probing }: Parameters<ReadingSource['take']>[1],
  ): Promise<Reading | 'passed-over' | 'undo' | 'stop'> {
    const right = this.metering.good.get(probe.id);
    if (right === undefined) throw new RangeError(`${probe.id} is no reading of this meter`);
    const left = leftOf(standingOf(probing));
    this.told.next(probe, right, { last: probing.taken.at(-1), left, number: probing.taken.length + 1 });
    for (;;) {
      this.told.asks(askedFor(probe));
      const line = await this.lines.next();
      const word = line?.trim().toLowerCase();
      if (word === undefined || STOP.has(word)) return 'stop';
      if (UNDO.has(word)) return 'undo';
      if (SKIP.has(word)) return 'passed-over';
      const reading = typedOf(line ?? '', probe, this.io);
      if (reading === undefined) continue;
      this.told.taken(probe, right, reading);
      return reading;
    }
  }
}
