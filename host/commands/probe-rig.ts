// `throwbench probe RUN --port PATH` and `--virtual CASE`: the rig reads with a moved sense clip.

import { withClipAt } from '../circuit/index.js';
import { InputError } from '../input/index.js';
import { nodeAt, type Probe, walk } from '../probe/index.js';
import { loadCase } from '../profile/index.js';
import { type CommandIo, EXIT } from './command.js';
import { openForProbe, type Wired } from './open-bench.js';
import { SKIP, STOP, TypedSource } from './probe.js';
import { beginProbing } from './probe-start.js';
import { exitOf, isNew, ProbeTold, probeEntry } from './probe-told.js';
import { type Answer, type RigBench, RigSource } from './rig-source.js';
import { onLeave } from './signals.js';
import { noRuns, withOpenStore } from './stored-runs.js';
import { type TypedLines, typedLines } from './typed-lines.js';

export interface RigAsked {
  runId: string;
  json: boolean;
  port?: string | undefined;
  rigId?: string | undefined;
  virtual?: string | undefined;
  clip: 'a' | 'b';
  /** Only see a clip back. */
  onlyBack: boolean;
}

/** @returns 0 when one cause or an inseparable group is left and the clip is back, else 3. @throws InputError */
export async function probeWithRig(
  asked: RigAsked,
  io: CommandIo,
  stdin: NodeJS.ReadableStream = process.stdin,
): Promise<number> {
  const code = await withOpenStore(async (store) => {
    const begun = beginProbing(store, asked.runId);
    const { runId } = begun.record;
    const { unit } = begun.probing.start;
    if (unit.plan.throwBy === 'operator' || unit.unit.subject === 'relay')
      throw new InputError({
        file: runId,
        what: 'the rig does not throw this unit by itself',
        mend: `type the readings: throwbench probe ${runId}`,
      });
    const told = new ProbeTold(io, asked.json);
    const leave = new AbortController();
    const release = onLeave(io, () => leave.abort());
    const lines = typedLines(stdin, leave.signal);
    const person: Ask = { told, io, lines };
    const bench: RigBench = {
      ...{ unit, clip: asked.clip, signal: leave.signal, capture: store.readCapture(runId) },
      connect: connector(asked, begun.probing.start.unit),
      ask: (sentence) => (asked.virtual ? byItself(told, sentence) : askPerson(person, sentence)),
      keep: (entry) => store.addEntry(runId, entry),
      ...(asked.virtual ? {} : { byHand: new TypedSource(told, io, lines) }),
    };
    const source = new RigSource(bench, told);
    try {
      if (asked.onlyBack) return (await source.bringBack()) ? EXIT.pass : EXIT.cannotTell;
      told.begun(begun);
      const walked = await walk(begun.probing, source, (probe, reading) => {
        store.addEntry(runId, probeEntry(probe, reading, probe.does === 'clip' ? 'rig' : 'typed'));
        told.taken(probe, reading);
      });
      const entry = told.ended(walked);
      if (isNew(walked, begun)) store.addEntry(runId, entry);
      const isBack = !source.isAway || (await source.bringBack());
      return isBack ? exitOf(entry.conclusion) : EXIT.cannotTell;
    } finally {
      release();
      lines.close();
    }
  });
  if (code === undefined) throw noRuns(asked.runId);
  return code;
}

function connector(
  { port, rigId, virtual, clip }: RigAsked,
  unit: Parameters<typeof openForProbe>[0],
): RigBench['connect'] {
  if (port !== undefined) return () => openForProbe(unit, { port, rigId });
  const virtualCase = loadCase(virtual ?? '');
  return (probe) => openForProbe(unit, { virtualCase, wired: clipMoved(clip, probe) });
}

/** The virtual person's hand. */
const clipMoved =
  (clip: 'a' | 'b', probe: Probe | undefined): Wired =>
  (circuit) => {
    const [place] = probe?.where ?? [];
    const node = place === undefined ? undefined : nodeAt(circuit.netlist, place);
    return node === undefined ? circuit : withClipAt(circuit, clip, node);
  };

async function byItself(told: ProbeTold, sentence: string): Promise<Answer> {
  told.lines([`  ${sentence} The virtual bench does it by itself.`], { kind: 'prompt', sentence });
  return 'done';
}

interface Ask {
  told: ProbeTold;
  io: CommandIo;
  lines: TypedLines;
}

async function askPerson({ told, io, lines }: Ask, sentence: string): Promise<Answer> {
  told.lines([`  ${sentence}`], { kind: 'prompt', sentence });
  if (!told.json) io.stdout(`  Enter when it sits (skip, stop): ${io.isTty ? '' : '\n'}`);
  const line = await lines.next();
  const word = line?.trim().toLowerCase();
  if (word === undefined || STOP.has(word)) return 'stop';
  return SKIP.has(word) ? 'skip' : 'done';
}
