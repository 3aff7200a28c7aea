// What is told of a unit under its verdict, in the order in which it is wanted, fitted to the rows there are: cause, next
// probe and the readings that prove it first. Where room is short fewer causes are named; a probe is never cut for a cause.

import type { Finding } from '../judge/index.js';
import { GRADE_WORDS, GRADED_WORDS, inWords, lowered, percent, wayText, withoutStop } from '../tell/index.js';
import { topFinding, type UnitView } from './bench-view-model.js';
import { wrapWords } from './format.js';
import { printable, type Theme } from './theme.js';

export const LABEL_COLUMNS = 15;
const MOST_GRADE_ROWS = 2;
/** Causes of one group that are worth naming on a screen; all of them stand among the checks. */
const MOST_CAUSES = 4;

export interface LabelledText {
  label: string;
  lines: string[];
}

/** Beside nothing else: a label of its own column, then text as wide as is left. */
export function toldLines(unit: UnitView, theme: Theme, columns: number, rows: number): LabelledText[] {
  const wrap = (text: string): string[] => wrapWords(printable(theme, text), columns - LABEL_COLUMNS);
  const finding = topFinding(unit);
  const out = finding ? ofFinding(finding, wrap, rows) : ofPass(unit, wrap);
  // What fails stands among the checks.
  for (const { about, grade, sentence } of unit.grade?.reasons ?? [])
    if (about !== 'fault')
      out.push({
        label: `${GRADED_WORDS[about]}:`,
        lines: clipped(wrap(`${GRADE_WORDS[grade]}. ${sentence}`), MOST_GRADE_ROWS),
      });
  if (unit.way && unit.way.inDoubt === undefined)
    out.push({ label: 'Forward:', lines: wrap(wayText(unit.way)) });
  if (unit.advice !== undefined) out.push({ label: 'What to do:', lines: clipped(wrap(unit.advice), rows) });
  return out;
}

function ofFinding(finding: Finding, wrap: (text: string) => string[], rows: number): LabelledText[] {
  const probe = clipped(wrap(finding.nextProbe), Math.max(1, Math.floor(rows / 2)));
  const proofs = (finding.proof ?? []).flatMap(wrap);
  const room = Math.max(1, rows - probe.length);
  // Proof before further causes of the group: those stand on the page of the checks too.
  const cause =
    causeTexts(finding)
      .map(wrap)
      .find((lines) => lines.length <= room - proofs.length) ??
    clipped(wrap(finding.sentence), Math.max(1, room - Math.min(proofs.length, Math.floor(room / 2))));
  const shown = proofs.slice(0, Math.max(0, room - cause.length));
  return [
    { label: `Likely, ${percent(finding.likelihood)}:`, lines: cause },
    { label: 'Next probe:', lines: probe },
    ...(shown.length > 0 ? [{ label: 'Shown by:', lines: shown }] : []),
  ];
}

/** The finding's own words, then shorter and shorter ones: fewer causes of its group by name. */
function causeTexts({ sentence, causes = [] }: Finding): string[] {
  const named = causes.map((cause) => withoutStop(cause.sentence));
  const texts: string[] = [sentence];
  for (let count = Math.min(MOST_CAUSES, named.length) - 1; count > 0; count--) {
    const more = named.length - count;
    const told = named.slice(0, count).map(lowered);
    texts.push(
      `One of these ${inWords(named.length)}, which read the same: ${[...told, `${more} more`].join('; or ')}.`,
    );
  }
  return texts;
}

const DOES_LABELS = {
  runs: 'Runs at:',
  starts: 'Starts with:',
  drops: 'Drops:',
  brake: 'Brakes with:',
  relay: 'Relay:',
  closest: 'Closest:',
  checks: 'Checks:',
  generic: 'Limits:',
} as const;

/** A pass: what the unit does, and how near it came to a limit. */
const ofPass = ({ does = [] }: UnitView, wrap: (text: string) => string[]): LabelledText[] =>
  does.map(({ about, read }) => ({ label: DOES_LABELS[about], lines: wrap(read) }));

/** The first `rows` of them, the last with a sign that more was said. */
export function clipped(lines: string[], rows: number): string[] {
  if (lines.length <= rows) return lines;
  const kept = lines.slice(0, rows);
  const last = kept.pop() ?? '';
  return [...kept, `${last.replace(/[\s.,;:]+$/, '').slice(0, -1)}…`];
}
