// `throwbench probe RUN --port PATH` and `--virtual CASE`: the rig reads with a moved sense clip.

import { withClipAt } from '../circuit/index.js';
import { InputError } from '../input/index.js';
import { nodeAt, type Probe, walk } from '../probe/index.js';
import type { VirtualCase } from '../profile/index.js';
import type { RunEntry } from '../records/index.js';
import { type CommandIo, EXIT, UsageError } from './command.js';
import { Keys } from './keys-of-hand.js';
import { openForProbe, type Wired } from './open-bench.js';
import { hearingOf, SKIP, STOP, TypedSource, UNDO } from './probe.js';
import { beginProbing } from './probe-start.js';
import { exitOf, isNew, ProbeTold } from './probe-told.js';
import { type Answer, type RigBench, RigSource } from './rig-source.js';
import { rigThrows } from './rig-throws.js';
import { onLeave } from './signals.js';
import { noRuns, withOpenStore } from './stored-runs.js';
import type { TypedLines } from './typed-lines.js';

export interface RigAsked {
  runId: string;
  json: boolean;
  port?: string | undefined;
  rigId?: string | undefined;
  virtualCase?: VirtualCase | undefined;
  clip: 'a' | 'b';
  /** Only see a clip back. */
  onlyBack: boolean;
  /** The person is asked first whether the rig is to read; else the readings are typed. */
  isOffer?: boolean;
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
    if (!rigThrows(unit))
      throw new InputError({
        file: runId,
        what: 'the rig does not throw this unit by itself',
        mend: `type the readings: throwbench probe ${runId}`,
      });
    const told = new ProbeTold(io, asked.json);
    const leave = new AbortController();
    const release = onLeave(io, () => leave.abort());
    const hand = new Keys(stdin, leave);
    const { lines } = hand;
    const person: Ask = { told, io, lines };
    const bench: RigBench = {
      ...{ unit, clip: asked.clip, signal: leave.signal, capture: store.readCapture(runId) },
      connect: connector(asked, begun.probing.start.unit),
      ask: (sentence) => (asked.virtualCase ? byItself(told, sentence) : askPerson(person, sentence)),
      keep: (entry) => store.addEntry(runId, entry),
      ...(asked.virtualCase ? {} : { byHand: new TypedSource(told, io, lines) }),
      whileLive: (off, work) => hand.whileLive(off, work),
      awayFrom: clipAwaySince(store.listEntries(runId), asked.clip),
    };
    const source = new RigSource(bench, told);
    try {
      if (asked.onlyBack) return (await source.bringBack()) ? EXIT.pass : EXIT.cannotTell;
      told.begun(begun);
      const byRig = asked.isOffer ? await rigWanted(person) : true;
      if (byRig === undefined) return EXIT.cannotTell;
      const from = byRig ? source : new TypedSource(told, io, lines);
      const walked = await walk(begun.probing, from, hearingOf(begun, store, told));
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
  { port, rigId, virtualCase, clip }: RigAsked,
  unit: Parameters<typeof openForProbe>[0],
): RigBench['connect'] {
  if (port !== undefined) return () => openForProbe(unit, { port, rigId });
  if (virtualCase === undefined) throw new UsageError('neither a port nor a virtual case to probe on');
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

/** Enter lets it; undefined where the person leaves. */
async function rigWanted({ told, io, lines }: Ask): Promise<boolean | undefined> {
  told.lines(
    ['', 'The rig can read for you: you bite a sense clip where it says, it throws for less than a second.'],
    { kind: 'offer' },
  );
  for (;;) {
    io.stdout('  Shall the rig read? [yes] ');
    const line = await lines.next();
    const word = line?.trim().toLowerCase();
    if (word === undefined || STOP.has(word)) return undefined;
    if (/^(y|yes|)$/.test(word)) return true;
    if (/^(n|no)$/.test(word)) return false;
    told.lines(['  Type yes or no.'], { kind: 'offer' });
  }
}

/** Rig of a clip that was moved in an earlier probing of this run and not seen back. */
function clipAwaySince(entries: readonly RunEntry[], clip: 'a' | 'b'): string | undefined {
  const last = entries.findLast(
    (entry) => (entry.kind === 'clip-moved' || entry.kind === 'clip-back') && entry.clip === clip,
  );
  return last?.kind === 'clip-moved' ? last.rigId : undefined;
}

interface Ask {
  told: ProbeTold;
  io: CommandIo;
  lines: TypedLines;
}

async function askPerson({ told, io, lines }: Ask, sentence: string): Promise<Answer> {
  told.lines([`  ${sentence}`], { kind: 'prompt', sentence });
  if (!told.json)
    io.stdout(
      `  Enter when it sits and hands are clear: one short throw (skip, undo, stop): ${io.isTty ? '' : '\n'}`,
    );
  const line = await lines.next();
  const word = line?.trim().toLowerCase();
  if (word === undefined || STOP.has(word)) return 'stop';
  if (UNDO.has(word)) return 'undo';
  return SKIP.has(word) ? 'skip' : 'done';
}
