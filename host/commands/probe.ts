// `throwbench probe RUN`: readings typed by whoever holds the meter, from a terminal or a pipe.

import { saysUnknown } from '../input/index.js';
import {
  type At,
  askedFor,
  type Probe,
  type Reading,
  type ReadingSource,
  typedReading,
  walk,
} from '../probe/index.js';
import type { CommandIo } from './command.js';
import { beginProbing } from './probe-start.js';
import { exitOf, isNew, ProbeTold, probeEntry, standing } from './probe-told.js';
import { onLeave } from './signals.js';
import { noRuns, withOpenStore } from './stored-runs.js';
import { type TypedLines, typedLines } from './typed-lines.js';

/** @returns 0 when one cause or an inseparable group is left, else 3. @throws InputError for a run that cannot be probed. */
export async function probeTyped(
  { runId, json }: { runId: string; json: boolean },
  io: CommandIo,
  stdin: NodeJS.ReadableStream = process.stdin,
): Promise<number> {
  const code = await withOpenStore(async (store) => {
    const begun = beginProbing(store, runId);
    const told = new ProbeTold(io, json);
    told.begun(begun);
    const leave = new AbortController();
    const release = onLeave(io, () => leave.abort());
    const lines = typedLines(stdin, leave.signal);
    try {
      const walked = await walk(begun.probing, new TypedSource(told, io, lines), (probe, reading) => {
        store.addEntry(begun.record.runId, probeEntry(probe, reading, 'typed'));
        told.taken(probe, reading);
      });
      const entry = told.ended(walked);
      if (isNew(walked, begun)) store.addEntry(begun.record.runId, entry);
      return exitOf(entry.conclusion);
    } finally {
      release();
      lines.close();
    }
  });
  if (code === undefined) throw noRuns(runId);
  return code;
}

/** What cannot be measured, or nobody knows. */
export const SKIP = new Set(['skip', 's']);
export const STOP = new Set(['stop', 'quit', 'q']);

/** A person with a hand meter: everything but the rig's clips. */
export class TypedSource implements ReadingSource {
  constructor(
    readonly told: ProbeTold,
    readonly io: CommandIo,
    readonly lines: TypedLines,
  ) {}

  can({ does }: Probe): boolean {
    return does !== 'clip';
  }

  async take(probe: Probe, at: At): Promise<Reading | 'passed-over' | 'stop'> {
    this.told.next(probe, standing(at));
    for (;;) {
      // Where lines are for a program, what is wanted stands in the object.
      if (!this.told.json) this.io.stdout(`  ${askedFor(probe)} (skip, stop): ${this.io.isTty ? '' : '\n'}`);
      const line = await this.lines.next();
      const word = line?.trim().toLowerCase();
      if (word === undefined || STOP.has(word)) return 'stop';
      if (SKIP.has(word) || saysUnknown(word)) return 'passed-over';
      const reading = typedOf(line ?? '', probe, this.io);
      if (reading !== undefined) return reading;
    }
  }
}

/** Undefined for an empty line, and for what cannot be meant, told in one line. */
export function typedOf(line: string, probe: Probe, { stderr }: CommandIo): Reading | undefined {
  if (line.trim() === '') return undefined;
  const typed = typedReading(line, probe);
  if ('reading' in typed) return typed.reading;
  stderr(`throwbench probe: ${typed.wrong}\n`);
  return undefined;
}
