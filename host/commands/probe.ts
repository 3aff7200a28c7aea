// `throwbench probe RUN`: readings typed by whoever holds the meter, from a terminal or a pipe.

import { saysUnknown } from '../input/index.js';
import {
  type At,
  askedFor,
  conclusionText,
  type End,
  type Hearing,
  type Probe,
  type Reading,
  type ReadingSource,
  typedReading,
  walk,
} from '../probe/index.js';
import type { Store } from '../records/index.js';
import type { CommandIo } from './command.js';
import { type Begun, beginProbing } from './probe-start.js';
import { exitOf, isNew, ProbeTold, probeEntry, standing, undoneEntry } from './probe-told.js';
import { onLeave } from './signals.js';
import { noRuns, withOpenStore } from './stored-runs.js';
import { type TypedLines, typedLines } from './typed-lines.js';
import { wrapped } from './wrapped.js';

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
      const source = new TypedSource(told, io, lines);
      const walked = await walk(begun.probing, source, hearingOf(begun, store, told));
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

/** Each reading is kept with the record at once, and so is that it was taken back. */
export const hearingOf = (
  { record: { runId } }: Begun,
  store: Pick<Store, 'addEntry'>,
  told: ProbeTold,
): Hearing => ({
  taken: (probe, reading) => {
    store.addEntry(runId, probeEntry(probe, reading, probe.does === 'clip' ? 'rig' : 'typed'));
    told.taken(probe, reading);
  },
  undone: (last) => {
    const entry = last && undoneEntry(last);
    if (entry !== undefined) store.addEntry(runId, entry);
    told.undone(entry);
  },
});

/** What cannot be measured, or nobody knows. */
export const SKIP = new Set(['skip', 's']);
/** The answer before this one is taken back. No `back`: that is what a clip is bitten. */
export const UNDO = new Set(['undo', 'u']);
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

  ends(end: End): Promise<'stands' | 'undo'> {
    if (this.told.json || !this.io.isTty) return Promise.resolve('stands');
    const conclusion = conclusionText(end);
    this.told.asked(conclusion);
    return endStands(this, conclusion);
  }

  async take(probe: Probe, at: At): Promise<Reading | 'passed-over' | 'undo' | 'stop'> {
    this.told.next(probe, standing(at));
    for (;;) {
      // Where lines are for a program, what is wanted stands in the object.
      if (!this.told.json)
        this.io.stdout(`  ${askedFor(probe)} (skip, undo, stop): ${this.io.isTty ? '' : '\n'}`);
      const line = await this.lines.next();
      const word = line?.trim().toLowerCase();
      if (word === undefined || STOP.has(word)) return 'stop';
      if (UNDO.has(word)) return 'undo';
      if (SKIP.has(word) || saysUnknown(word)) return 'passed-over';
      const reading = typedOf(line ?? '', probe, this.io);
      if (reading !== undefined) return reading;
    }
  }
}

/** Whether an end stands, of a person at a terminal: a pipe has said all that it will. */
export async function endStands(
  { io, lines }: { io: CommandIo; lines: TypedLines },
  end: string,
): Promise<'stands' | 'undo'> {
  if (!io.isTty) return 'stands';
  const told = ['', ...wrapped(end, io), ''].join('\n');
  io.stdout(`${told}Enter keeps it; undo takes the last answer back: `);
  const line = await lines.next();
  return line !== undefined && UNDO.has(line.trim().toLowerCase()) ? 'undo' : 'stands';
}

/** Undefined for an empty line, and for what cannot be meant, told in one line. */
export function typedOf(line: string, probe: Probe, { stderr }: CommandIo): Reading | undefined {
  if (line.trim() === '') return undefined;
  const typed = typedReading(line, probe);
  if ('reading' in typed) return typed.reading;
  stderr(`throwbench probe: ${typed.wrong}\n`);
  return undefined;
}
