// What the sheet of a recorded run says, gathered from the record, from what is known of its rig, and from earlier runs
// of the same unit.

import { CAUTIONS } from '../bench/index.js';
import type { Capture } from '../capture/index.js';
import { unloadedSupply } from '../measure/index.js';
import { hookUpLines } from '../profile/index.js';
import { anchorOf, type CalibrationPoint, type RunEntry, type RunRecord } from '../records/index.js';
import { runPicture } from '../reports/index.js';
import type { Sheet } from '../reports/sheet/index.js';
import {
  amount,
  chance,
  retold,
  revisionWords,
  stopClause,
  temperatureBand,
  wayText,
} from '../tell/index.js';
import { contentText } from './entry-text.js';
import { decidedText, learnedText, when, zoneText } from './log-text.js';
import type { StoryLine } from './story.js';

export interface OnPaper {
  run: RunRecord;
  capture: Capture | undefined;
  /** Of the rig that took it, oldest first. */
  calibrations: readonly CalibrationPoint[];
  /** What was added to it later, oldest first. */
  entries: readonly RunEntry[];
  /** Of the unit, oldest first; the run itself and what came later may be among them. */
  story: readonly StoryLine[];
  /** With the faulty place marked. */
  circuit?: Sheet['circuit'];
  /** Name and address, a line each. */
  shop: readonly string[];
}

const MOST_CAUSES = 3;
const MOST_STORY = 5;
const DAY_MS = 86_400_000;

export function sheetOf({ run, capture, circuit, calibrations, entries, story, shop }: OnPaper): Sheet {
  const { unit, judgement, hash, doubt } = run;
  const checks = judgement?.checks ?? [];
  // Of a unit that fails the reason is left to its cause: what else is in doubt is said beside it.
  const wayInDoubt = run.verdict === 'fail' ? judgement?.way?.inDoubt : undefined;
  const doubts = [doubt?.replace(/^in doubt: /, ''), wayInDoubt].filter((text) => text !== undefined);
  return {
    shop,
    tag: run.tag,
    title: `${unit.unit.title}. ${unit.style.title}.`,
    ...(run.status === 'running' || run.verdict === undefined ? {} : { verdict: run.verdict }),
    sentence: retold(run.sentence ?? ''),
    ...(doubts.length === 0 ? {} : { doubt: retold(doubts.join(' ')) }),
    causes: (judgement?.findings ?? []).slice(0, MOST_CAUSES).map((finding) => ({
      chance: chance(finding),
      sentence: finding.sentence,
      proof: finding.proof ?? [],
      nextProbe: finding.nextProbe,
    })),
    ...(capture === undefined ? {} : { picture: pictureOf(run, capture, circuit !== undefined) }),
    ...(circuit === undefined ? {} : { circuit }),
    checks: checks.map(({ outcome, sentence, origin, lower, upper }) => ({
      ...{ outcome, sentence: retold(sentence) },
      ...(lower === undefined && upper === undefined ? {} : { origin }),
    })),
    facts: [...factsOf(run, calibrations), ...probedOf(entries)],
    ...storyBefore(run, story),
    cautions: CAUTIONS,
    runId: run.runId,
    ...(hash === undefined ? {} : { anchor: anchorOf(hash) }),
    at: run.endedAt ?? run.startedAt,
    code: hash === undefined ? run.runId : `${run.runId}/${anchorOf(hash)}`,
  };
}

const pictureOf = (run: RunRecord, capture: Capture, isLow: boolean): string =>
  runPicture({
    capture,
    title: `${run.tag}, ${run.unit.unit.title}`,
    isRelayAlone: run.unit.style.subject === 'relay',
    isWithinPage: true,
    isLow,
  });

function factsOf(run: RunRecord, calibrations: readonly CalibrationPoint[]): [string, string][] {
  const { rig, unit, stop, judgement } = run;
  const way = judgement?.way;
  const supply = unloadedSupply(run.judgement?.measured ?? {})?.value;
  const { nominal, plusMinus } = unit.unit.temperatureC;
  const conditions = [
    ...(supply === undefined ? [] : [`supply ${amount(supply, 'V', 2)} before anything drew on it`]),
    `ambient taken as ${temperatureBand(nominal, plusMinus)}`,
    `plan: ${unit.plan.title.toLowerCase()}`,
  ];
  return [
    [
      'tested',
      [
        when(run.startedAt),
        ...(run.endedAt === undefined ? [] : [`ended ${when(run.endedAt)}`]),
        ...(run.zone === undefined ? [] : [zoneText(run)]),
        ...(run.job === undefined ? [] : [`job ${run.job}`]),
      ].join(', '),
    ],
    rig.isHandMeter
      ? ['meter', `hand meter, readings typed; no rig; program ${run.toolVersion}`]
      : ['rig', `${rig.rigId}, ${rig.model}, ${revisionWords(rig)}; program ${run.toolVersion}`],
    ...(run.operator === undefined ? [] : [['operator', run.operator] as [string, string]]),
    ...(run.disposition === undefined ? [] : [['decided', decidedText(run)] as [string, string]]),
    ...(rig.isHandMeter
      ? []
      : ([
          ['calibration', calibrationAge(calibrations, run)],
          ['conditions', conditions.join('; ')],
          ['clipped on', hookUpLines(unit).join(' ')],
        ] as [string, string][])),
    ...(run.learnedFrom === undefined ? [] : [['limits', learnedText(run) ?? ''] as [string, string]]),
    ...(way === undefined ? [] : [['forward', wayText(way)] as [string, string]]),
    ...(stop === undefined
      ? []
      : [['stopped', `at ${amount(stop.atS, 's', 3)}: ${stopClause(stop.reason)}`] as [string, string]]),
  ];
}

const MOST_PROBES = 4;

/** The last that was found by probing afterwards. */
const probedOf = (entries: readonly RunEntry[]): [string, string][] =>
  entries.slice(-MOST_PROBES).map((entry, i) => [i === 0 ? 'probed' : '', contentText(entry)]);

/** How old on the day of the run the newest calibration of its rig was. */
function calibrationAge(points: readonly CalibrationPoint[], { startedAt }: RunRecord): string {
  const before = points.filter(({ at }) => at <= startedAt);
  const newest = before.at(-1);
  if (newest === undefined) return 'none noted before this run: readings by the figures of the rig’s profile';
  const days = Math.floor((Date.parse(startedAt) - Date.parse(newest.at)) / DAY_MS);
  const age = days === 0 ? 'on the same day' : days === 1 ? '1 day before' : `${days} days before`;
  const channels = new Set(before.map(({ channel }) => channel)).size;
  return `${age} (${when(newest.at)}), channels calibrated so far: ${channels}`;
}

/** What came before the run, and what stands decided or written after it: newest first. */
function storyBefore(run: RunRecord, story: readonly StoryLine[]): Pick<Sheet, 'story' | 'storyLeft'> {
  const lines = story
    .filter((line) => line.runId !== run.runId && (line.runId === undefined || line.at <= run.startedAt))
    .toReversed();
  const told = lines
    .slice(0, MOST_STORY)
    .map(({ at, what, text }) => shortened(`${when(at)}  ${what}  ${text}`.trimEnd()));
  return { story: told, storyLeft: lines.length - told.length };
}

/** One line of the sheet; the whole stands in the record. */
const STORY_LETTERS = 115;
const shortened = (line: string): string =>
  line.length > STORY_LETTERS ? `${line.slice(0, STORY_LETTERS - 1).trimEnd()}…` : line;
