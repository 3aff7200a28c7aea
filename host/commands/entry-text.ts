// What was added to a run later, in lines: its probes, and what they left.

import { oneLine } from '../input/index.js';
import type { ProbeEntry, RunEntry } from '../records/index.js';
import { amount, significant } from '../tell/index.js';
import { when } from './log-text.js';

/** Empty where nothing was added. */
export function entriesText(entries: readonly RunEntry[]): string {
  if (entries.length === 0) return '';
  const lines = entries.map((entry) => `  ${when(entry.at)}  ${oneLine(contentText(entry))}`);
  return `\nProbed afterwards:\n${lines.join('\n')}\n`;
}

/** One of them in a sentence. */
export const contentText = (entry: RunEntry): string =>
  entry.kind === 'probe'
    ? `${entryText(entry)}${entry.source === 'rig' ? ' (by the rig)' : ''}`
    : entry.sentence;

/** `Throw reverse and measure 86 of K2 to ground: 12.40 V`. */
export const entryText = (entry: ProbeEntry): string => givenWords(entry);

export const givenWords = (entry: Pick<ProbeEntry, 'words' | 'value' | 'unit' | 'yes'>): string =>
  `${entry.words.replace(/\?$/, '')}: ${givenText(entry)}`;

/** `11.80 V`, `open`, `yes`. */
export function givenText({ value, unit, yes }: Pick<ProbeEntry, 'value' | 'unit' | 'yes'>): string {
  if (yes !== undefined) return yes ? 'yes' : 'no';
  if (value === undefined) return 'nothing';
  if (!Number.isFinite(value)) return 'open';
  return unit === 'Ohm' ? significant(value, 3, 'Ohm') : amount(value, 'V', 2);
}
