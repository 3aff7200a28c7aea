// A recorded run on paper: its picture, and its sheet as HTML or PDF. Loaded only where paper is asked for.

import { bandInThreads } from '../bench/threads/index.js';
import type { Capture } from '../capture/index.js';
import { restoredUnit } from '../profile/index.js';
import type { RunRecord } from '../records/index.js';
import { type ChartBand, runPicture } from '../reports/index.js';
import { type Paper, sheetHtml, sheetPdf } from '../reports/sheet/index.js';
import { VERDICT_WORDS } from '../tell/index.js';
import { asTheRigReads } from './as-the-rig-reads.js';
import { sheetCircuit } from './circuit-on-sheet.js';
import { type CommandIo, UsageError } from './command.js';
import { when } from './log-text.js';
import { readSettings } from './settings.js';
import { type OnPaper, sheetOf } from './sheet-of-run.js';
import { writeNew } from './write-new.js';

/** SVG of the whole run with what is worth enlarging. */
/** @param draws with the band of so many good units behind the whole; a run's own times differ from its plan's by milliseconds */
export function pictureOfRun(run: RunRecord, capture: Capture, draws?: number): string {
  const { unit, verdict } = run;
  return runPicture({
    capture,
    ...(draws === undefined ? {} : { band: bandOf(run, draws) }),
    title: `${run.tag}, ${unit.unit.title}`,
    subtitle: [
      ...(verdict === undefined ? [] : [VERDICT_WORDS[verdict]]),
      unit.style.title,
      `run ${run.runId}`,
      when(run.startedAt),
      `rig ${run.rig.rigId}`,
      ...(draws === undefined ? [] : [`band of ${draws} good units`]),
    ].join('; '),
    isRelayAlone: unit.style.subject === 'relay',
    ...(run.judgement ? { measured: run.judgement.measured } : {}),
  });
}

function bandOf({ unit, runId }: RunRecord, draws: number): ChartBand {
  const whole = restoredUnit(unit, runId);
  const { timeS, lower, upper } = bandInThreads(whole, { draws });
  return { timeS, lower: asTheRigReads(lower, whole), upper: asTheRigReads(upper, whole) };
}

export interface PapersAsked {
  /** Good units behind the traces of the picture; none where it is not told. */
  draws: number | undefined;
  svg: string | undefined;
  html: string | undefined;
  pdf: string | undefined;
  /** As settled, else A4. */
  paper: Paper | undefined;
  /** Lines apart by a semicolon; as settled, else none. */
  shop: string | undefined;
}

/** Writes what is asked for. @throws InputError for a file that cannot be written */
export async function writePapers(
  io: CommandIo,
  asked: PapersAsked,
  onPaper: Omit<OnPaper, 'shop'>,
): Promise<void> {
  const { svg, html, pdf, draws } = asked;
  const { run, capture } = onPaper;
  if (svg !== undefined && capture !== undefined)
    writeNew(io, svg, pictureOfRun(run, capture, draws), 'picture written');
  if (html === undefined && pdf === undefined) return;
  const settled = readSettings();
  const paper = asked.paper ?? settled.paper ?? 'a4';
  const circuit = await sheetCircuit(run);
  const sheet = sheetOf({ ...onPaper, circuit, shop: shopLines(asked.shop ?? settled.shop ?? '') });
  const lacks = capture === undefined ? ', without a picture: the run has no samples' : '';
  if (html !== undefined) writeNew(io, html, sheetHtml(sheet, paper), `sheet written${lacks}`);
  if (pdf !== undefined) {
    const bytes = await sheetPdf(sheet, paper);
    const strange = UNKNOWN_LETTERS.test(JSON.stringify(sheet))
      ? '; some of its letters are not in the typeface and show as boxes, --html has them'
      : '';
    writeNew(io, pdf, bytes, `sheet written${lacks}${strange}`);
  }
}

const MOST_SHOP_LINES = 5;

/** Name and address, a line each. @throws UsageError for more lines than a sheet has room for */
export function shopLines(shop: string): string[] {
  const lines = shop.split(';').map((line) => line.trim());
  if (lines.length > MOST_SHOP_LINES)
    throw new UsageError(`the shop has ${lines.length} lines; a sheet has room for ${MOST_SHOP_LINES}`);
  return lines.filter((line) => line !== '');
}

/** The embedded typeface has the scripts of Europe and signs, no others (its own table of contents). */
const UNKNOWN_LETTERS =
  /\p{Extended_Pictographic}|(?![\p{Script=Latin}\p{Script=Greek}\p{Script=Cyrillic}\p{Script=Armenian}\p{Script=Georgian}])\p{L}/u;
