// The rooms beside the bench: records, profiles, the rig, and the keys. Each page is what the verb of that name tells.

import { oneLine } from '../../input/index.js';
import { listProfiles } from '../../profile/index.js';
import type { RunRecord, RunSummary } from '../../records/index.js';
import type { RigIdentity } from '../../rig/index.js';
import type { RoomContent, RoomRow } from '../../screens/index.js';
import { retold, VERDICT_WORDS } from '../../tell/index.js';
import type { CommandIo } from '../command.js';
import { entriesText } from '../entry-text.js';
import { comparisonText } from '../log-compare.js';
import { recordText, verdictOf, when } from '../log-text.js';
import { knownRun, withStore } from '../stored-runs.js';
import { KEY_LINES } from './key-lines.js';
import {
  type BenchPlace,
  calibrating,
  learningRooms,
  ownProfile,
  type ProbeOn,
  probing,
  trainingRooms,
} from './talks.js';
import { linesOf, told } from './told.js';

/** What the sitting knows of its rig, where it knows anything. */
export interface RoomsOf {
  io: CommandIo;
  /** The rig on the bench; undefined until one has told. */
  rigNow(): RigIdentity | undefined;
  /** Where the bench stands; undefined until that is chosen. */
  place?(): BenchPlace | undefined;
  /** The unit that was judged last and whose causes can be probed. */
  probed?(): { runId: string; tag: string } | undefined;
  /** The rig that can read a probe of the unit that hangs on it. */
  probeOn?(tag: string): ProbeOn | undefined;
}

const MOST_RUNS = 1000;

export function roomsOf({ io, rigNow, place, probed, probeOn }: RoomsOf): RoomContent {
  const toProbe = probed?.();
  return {
    title: 'Rooms',
    rows: [
      ...(toProbe ? [probing(io, toProbe, probeOn?.(toProbe.tag))] : []),
      { text: 'Records: search, show, compare', open: () => records(io) },
      { text: 'Profiles: numbers, plan and the picture to expect', open: () => profiles(io) },
      {
        text: 'Rig: calibration and checks, links of the last runs, its channels now',
        open: () => rig(io, rigNow(), place?.()),
      },
      calibrating(io, place?.()),
      trainingRooms(io),
      learningRooms(io),
      ownProfile(io),
      { text: 'Keys: what each does, and when', open: () => ({ title: 'Keys', lines: KEY_LINES }) },
    ],
  };
}

function records(io: CommandIo): RoomContent {
  const runs = withStore((store) => store.listRuns({ limit: MOST_RUNS })) ?? [];
  return {
    title: 'Records',
    rows: runs.map((run) => ({ text: runText(run), open: () => record(io, run.runId) })),
  };
}

const runText = (run: RunSummary): string =>
  oneLine(
    `${when(run.startedAt)}  ${run.tag.padEnd(10)} ${verdictOf(run).padEnd(11)} ${retold(run.sentence ?? '')}`,
  );

function record(io: CommandIo, runId: string): RoomContent {
  const found = withStore((store) => {
    const run = knownRun(store, runId);
    const runs = store.listRuns({ limit: MOST_RUNS });
    return { run, entries: store.listEntries(run.runId), other: comparable(run, runs) };
  });
  if (!found) return { title: runId, lines: ['No records yet.'] };
  const { run, entries, other } = found;
  return {
    title: `${run.tag} ${run.runId}`,
    lines: linesOf(`${recordText(run)}${entriesText(entries)}`),
    ...(other === undefined ? {} : { more: compared(run, other) }),
    ...(isProbed(run)
      ? { also: { ...probing(io, run), text: 'probe it', key: 'other-profile', letter: 'p' } }
      : {}),
  };
}

/** Something is left to find out by a meter. */
const isProbed = ({ verdict, judgement }: RunRecord): boolean =>
  verdict !== undefined && verdict !== 'pass' && (judgement?.findings.length ?? 0) > 0;

/** The run of this unit before it; where there is none, the last good one of its profile. */
function comparable(run: RunRecord, runs: readonly RunSummary[]): RunSummary | undefined {
  const earlier = runs.filter(({ runId, startedAt }) => runId !== run.runId && startedAt < run.startedAt);
  return (
    earlier.find(({ tag }) => tag === run.tag) ??
    earlier.find(({ profileId, verdict }) => profileId === run.profileId && verdict === 'pass')
  );
}

const compared = (run: RunRecord, other: RunSummary): RoomRow => ({
  text: `compare with ${other.tag}, ${other.verdict === undefined ? 'running' : VERDICT_WORDS[other.verdict]}, ${when(other.startedAt)}`,
  open: () => {
    const text = withStore((store) => comparisonText(knownRun(store, other.runId), run));
    return { title: 'Compared', lines: linesOf(text ?? '') };
  },
});

function profiles(io: CommandIo): RoomContent {
  const rows = listProfiles('unit').map(
    ({ id, title, fault }): RoomRow => ({
      text: `${id.padEnd(30)} ${fault === undefined ? title : `faulty: ${fault}`}`,
      open: () => profile(io, id),
    }),
  );
  return { title: 'Profiles', rows };
}

async function profile(io: CommandIo, id: string): Promise<RoomContent> {
  const { show } = await import('../profile/show.js');
  return {
    title: id,
    lines: await told(io, (narrow) => show(narrow, id, 'unit', false)),
    more: {
      text: 'the picture to expect',
      open: async () => {
        const { command } = await import('../verbs/simulate.js');
        return {
          title: 'To expect',
          lines: await told(io, (narrow) => command.run(['--profile', id], narrow)),
        };
      },
    },
  };
}

async function rig(
  io: CommandIo,
  now: RigIdentity | undefined,
  place: BenchPlace | undefined,
): Promise<RoomContent> {
  const rigId = now?.rigId;
  const { list } = await import('../calibrate-list.js');
  const runs = (withStore((store) => store.listRuns({ limit: MOST_RUNS })) ?? []).slice(0, LAST_LINKS);
  const { countersText } = await import('../../tell/index.js');
  const links = runs.flatMap(({ runId, tag }) => {
    const run = withStore((store) => knownRun(store, runId));
    if (run === undefined || (rigId !== undefined && run.rig.rigId !== rigId)) return [];
    return [
      `  ${when(run.startedAt)}  ${tag.padEnd(10)} rig ${run.rig.rigId}: ${countersText(run.counters) || 'not counted'}`,
    ];
  });
  return {
    title: rigId === undefined ? 'Rigs' : `Rig ${rigId}`,
    lines: [
      'Calibrations and known-load checks:',
      ...(await told(io, (narrow) => list(narrow, rigId, false))).map((line) => `  ${line}`),
      '',
      'Link of the last runs:',
      ...(links.length === 0 ? ['  no runs yet'] : links),
    ],
    ...(now === undefined || now.port === VIRTUAL_PORT ? {} : { more: channelsNow(io, now) }),
    also: { ...calibrating(io, place), text: 'calibrate', key: 'checks', letter: 'c' },
  };
}

const LAST_LINKS = 10;
/** Of a rig that stands nowhere. */
const VIRTUAL_PORT = 'virtual';

/** Between two runs its port is free; opening it restarts the board, outputs off. */
const channelsNow = (io: CommandIo, { port, rigId }: RigIdentity): RoomRow => ({
  text: 'what its channels read now, outputs off',
  open: async () => {
    const { command } = await import('../verbs/rig.js');
    const args = ['--port', port, '--rig', rigId];
    return { title: 'Now', lines: await told(io, (narrow) => command.run(args, narrow)) };
  },
});
