// The rooms where a person is asked: each talks as the verb of that name does at a terminal, by the same code.

import { known } from '../../fields/index.js';
import { visible } from '../../input/index.js';
import { listProfiles, loadUnit, restoredUnit, type VirtualCase } from '../../profile/index.js';
import type { RoomContent, RoomRow, TalkContent } from '../../screens/index.js';
import type { BenchNamed } from '../bench-named.js';
import type { CommandIo } from '../command.js';
import { rigThrows } from '../rig-throws.js';
import { knownRun, withStore } from '../stored-runs.js';

/** The rig that can read a probe: on a port, or the virtual one with what hangs on it. */
export type ProbeOn = { port: string; rigId?: string | undefined } | { virtualCase: VirtualCase };

/** Where the bench stands: a rig on a port, or the virtual bench. */
export type BenchPlace = { port: string } | 'virtual';

/** What stands on the virtual bench where nothing of the unit matters. */
const ON_VIRTUAL: BenchNamed = { virtual: 'entry-step-good', profile: 'entry-step-relays' };

const talkOf = (
  io: CommandIo,
  title: string,
  run: (io: CommandIo, stdin: NodeJS.ReadableStream) => Promise<unknown>,
): TalkContent => ({
  title,
  talk: async (terminal) => {
    const { terminal: _, ...rest } = io;
    const write = (text: string): void => terminal.write(visible(text));
    const { stdin, closed } = terminal;
    // Which verb it would be elsewhere says nothing here.
    const stderr = (text: string): void => write(text.replace(/^throwbench [a-z]+: /, ''));
    // The last column stays empty.
    const columns = io.columns - 1;
    await run(
      { ...rest, ...{ stdin, closed, columns, stdout: write, stderr, isTty: true, isAttended: true } },
      stdin,
    );
  },
});

/** @param place undefined until one was chosen: then it is asked for */
export const calibrating = (io: CommandIo, place: BenchPlace | undefined): RoomRow => ({
  text: 'Calibrate: zero and a known load, by questions',
  open: () =>
    talkOf(io, 'Calibrate', async (inTalk) => {
      const { calibrateByDialogue } = await import('../calibrate-dialogue.js');
      const bench =
        place === undefined || place === 'virtual'
          ? place && ON_VIRTUAL
          : { port: place.port, profile: undefined };
      await calibrateByDialogue({ bench, channel: undefined, position: undefined }, inTalk);
    }),
});

/** @param on the bench that the unit still hangs on: its rig can read as well; typed readings only where it is absent */
export const probing = (
  io: CommandIo,
  { runId, tag }: { runId: string; tag: string },
  on?: ProbeOn,
): RoomRow => ({
  text: `Probe ${tag}: what to measure next, and what it tells`,
  open: () =>
    talkOf(io, `Probe ${tag}`, async (inTalk, stdin) => {
      if (on !== undefined && canThrow(runId)) {
        const { probeWithRig } = await import('../probe-rig.js');
        const asked = { runId, json: false, clip: 'b', onlyBack: false, isOffer: true, ...on } as const;
        await probeWithRig(asked, inTalk, stdin);
        return;
      }
      const { probeTyped } = await import('../probe.js');
      await probeTyped({ runId, json: false }, inTalk, stdin);
    }),
});

/** Whether the rig throws the unit of this run by itself. */
const canThrow = (runId: string): boolean =>
  withStore((store) => rigThrows(restoredUnit(knownRun(store, runId).unit, runId))) === true;

export const ownProfile = (io: CommandIo): RoomRow => ({
  text: 'A profile of your own, by questions',
  open: () =>
    talkOf(io, 'New profile', async (inTalk) => {
      const { writeNew } = await import('../profile/new.js');
      await writeNew(inTalk, undefined);
    }),
});

export const trainingRooms = (io: CommandIo): RoomRow => ({
  text: 'Training: find a hidden fault; no rig, no record',
  open: (): RoomContent => {
    const units = listProfiles('unit').filter(({ fault }) => fault === undefined);
    const thrown = units.filter(({ id }) => loadUnit(id).unit.subject !== 'relay');
    return {
      title: 'Training',
      rows: thrown.map(({ id, title }) => ({ text: `${title}  (${id})`, open: () => training(io, id) })),
    };
  },
});

const training = (io: CommandIo, profile: string): TalkContent =>
  talkOf(io, 'Find the fault', async (inTalk, stdin) => {
    const { trainAtBench } = await import('../training.js');
    await trainAtBench({ unit: loadUnit(profile), json: false, plain: true }, inTalk, stdin);
  });

export const learningRooms = (io: CommandIo): RoomRow => ({
  text: 'Learn: limits from the units that passed here',
  open: (): RoomContent => {
    const passed = withStore((store) => store.listRuns({ verdict: 'pass', limit: MOST_RUNS })) ?? [];
    const rows = listProfiles('unit').flatMap(({ id, title }) => {
      const runs = passed.filter(({ profileId }) => profileId === id);
      const tags = new Set(runs.map(({ tag }) => tag));
      const text = `${title}  (${id}): ${runs.length} passed, of ${tags.size === 1 ? 'one unit' : `${tags.size} units`}`;
      return runs.length === 0
        ? []
        : [
            {
              text,
              open: () => learning(io, id, runs),
            },
          ];
    });
    return { title: 'Learn', rows };
  },
});

const learning = (
  io: CommandIo,
  profile: string,
  passed: readonly { runId: string; tag: string }[],
): TalkContent =>
  talkOf(io, profile, async (inTalk) => {
    const [{ learnFrom }, { Dialogue }] = await Promise.all([
      import('../learn.js'),
      import('../profile/dialogue.js'),
    ]);
    const dialogue = new Dialogue(inTalk);
    try {
      for (const { runId, tag } of passed.toReversed()) dialogue.tell(`  ${runId}  ${tag}`);
      dialogue.tell('What passed within generic limits need not be good: name those that you know.');
      const runs = await dialogue.text('Which runs? Their ids, commas between', ALL, () => undefined);
      const out = await dialogue.text('Into which file, such as good.yaml?', ONLY_SHOWN, () => undefined);
      if (dialogue.isEnded) return;
      learnFrom(
        {
          profile,
          runs: runs === ALL ? passed.map(({ runId }) => runId).join(',') : runs.replace(/[\s,;]+/g, ','),
          ...known({ out: out === ONLY_SHOWN ? undefined : out }),
          keepOdd: false,
        },
        inTalk,
      );
    } finally {
      dialogue.close();
    }
  });

const ALL = 'all';
const ONLY_SHOWN = 'none, only show them';
/** So many back are looked through. */
const MOST_RUNS = 1000;
