// Labels and batch sheets of recorded units: the newest run of each among those asked for.

import { InputError } from '../input/index.js';
import { anchorOf, type RunQuery, type RunRecord } from '../records/index.js';
import {
  batchPdf,
  codeSideMm,
  type Label,
  type LabelSize,
  labelsPdf,
  type Paper,
  USUAL_LABEL,
} from '../reports/sheet/index.js';
import { retold, VERDICT_WORDS } from '../tell/index.js';
import { type CommandIo, EXIT, UsageError } from './command.js';
import { decidedText, when } from './log-text.js';
import { shopLines } from './run-papers.js';
import { LABEL_SIZE, readSettings } from './settings.js';
import { storePlace, withStore } from './stored-runs.js';
import { writeNew } from './write-new.js';

export interface LabelsAsked {
  labels: string | undefined;
  batch: string | undefined;
  size: string | undefined;
  paper: Paper | undefined;
  shop: string | undefined;
}

/** @throws UsageError for a size that is none; InputError where there is no run */
export async function writeLabels(
  io: CommandIo,
  query: RunQuery,
  { labels, batch, size, paper, shop }: LabelsAsked,
): Promise<number> {
  for (const [name, file] of Object.entries({ labels, batch }))
    if (file === '-') throw new UsageError(`--${name} - cannot go to standard output; name a file`);
  const settled = readSettings();
  const runs = withStore((store) => {
    const { tag } = query;
    const asked = tag === undefined ? query : { ...query, tag: store.tagAsKnown(tag) };
    const seen = new Set<string>();
    const newest = store.listRuns(asked).filter((run) => !seen.has(run.tag) && seen.add(run.tag));
    return newest.map(({ runId }) => store.showRun(runId));
  });
  const [first] = runs ?? [];
  if (runs === undefined || first === undefined) {
    const mend = 'throwbench log lists what there is';
    throw new InputError({ file: storePlace(), what: 'no such runs', mend });
  }
  const lines = shopLines(shop ?? settled.shop ?? '');
  // By tag, as the units stand on the shelf.
  const sorted = runs.toSorted((a, b) => (a.tag < b.tag ? -1 : 1));
  const told = `${sorted.length} ${sorted.length === 1 ? 'unit' : 'units'} written`;
  if (labels !== undefined) {
    const wanted = sizeOf(size ?? settled.label);
    const all = sorted.map((run) => labelOf(run, [`run ${run.runId}`, ...lines.slice(0, 1)]));
    for (const { code } of all)
      if (codeSideMm(wanted, code) === undefined)
        throw new UsageError(
          `a label of ${wanted.widthMm} x ${wanted.heightMm} mm has no room for a code that can be read; 24x14 is the least`,
        );
    writeNew(io, labels, await labelsPdf(all, wanted), told);
  }
  if (batch !== undefined) {
    const units = sorted.map((run) =>
      labelOf(
        run,
        [run.unit.unit.title, decidedText(run), reasonOf(run)].filter((text) => text !== ''),
      ),
    );
    const title = query.job === undefined ? 'Tested units' : `Job ${query.job}`;
    const at = first.endedAt ?? first.startedAt;
    const sheet = { shop: lines, title, at, summary: summaryOf(runs), units };
    writeNew(io, batch, await batchPdf(sheet, paper ?? settled.paper ?? 'a4'), told);
  }
  return EXIT.pass;
}

function labelOf(run: RunRecord, more: readonly string[]): Label {
  const { tag, runId, hash, verdict, status } = run;
  const at = run.endedAt ?? run.startedAt;
  return {
    ...{ tag, runId, at, code: hash === undefined ? runId : `${runId}/${anchorOf(hash)}` },
    ...(status === 'running' || verdict === undefined ? {} : { verdict }),
    ...(hash === undefined ? {} : { anchor: anchorOf(hash) }),
    lines: [when(at), ...(run.doubt === undefined ? [] : ['IN DOUBT: see the record']), ...more],
  };
}

const reasonOf = ({ verdict, judgement, sentence = '' }: RunRecord): string =>
  retold((verdict === 'pass' ? undefined : judgement?.findings[0]?.sentence) ?? sentence);

const summaryOf = (runs: readonly RunRecord[]): string =>
  [
    `${runs.length} ${runs.length === 1 ? 'unit' : 'units'}, the newest run of each`,
    ...(['pass', 'fail', 'cannot-tell'] as const).map(
      (verdict) => `${VERDICT_WORDS[verdict]} ${runs.filter((run) => run.verdict === verdict).length}`,
    ),
  ].join('; ');

function sizeOf(told: string | undefined): LabelSize {
  if (told === undefined) return USUAL_LABEL;
  const [, width, height] = LABEL_SIZE.exec(told.trim()) ?? [];
  const size = { widthMm: Number(width), heightMm: Number(height) };
  if (size.widthMm >= 10 && size.heightMm >= 10) return size;
  throw new UsageError(`--size '${told}' should be width x height in mm from 10 on, such as 60x30`);
}
