// The story of a unit: what was written of it, its runs and what was decided, by time.

import { oneLine } from '../input/index.js';
import {
  type DispositionEntry,
  type RunSummary,
  type ShopContent,
  type Store,
  standingEntries,
} from '../records/index.js';
import { DISPOSITION_WORDS, retold, temperature } from '../tell/index.js';
import { verdictOf, when } from './log-text.js';
import { photoWords } from './photos.js';

export interface StoryLine {
  /** Wall clock, ISO 8601. */
  at: string;
  /** Of the entry, by which it is corrected; absent for runs and decisions. */
  entry?: number;
  /** Of a run. */
  runId?: string;
  what: string;
  text: string;
}

const STAGE_WORDS = { received: 'as received', repaired: 'repaired', shipped: 'as shipped' } as const;

/** One entry in words. */
export function contentWords(content: ShopContent): { what: string; text: string } {
  switch (content.kind) {
    case 'job':
      return { what: 'job', text: content.title ?? 'opened' };
    case 'listed':
      return {
        what: 'listed',
        text: [content.profile, content.note].filter((part) => part !== undefined).join(', '),
      };
    case 'received':
    case 'repaired':
    case 'shipped':
      return { what: STAGE_WORDS[content.kind], text: content.text ?? '' };
    case 'note':
      return { what: 'note', text: content.text };
    case 'part':
      return {
        what: 'part',
        text: content.number === undefined ? content.part : `${content.part}, number ${content.number}`,
      };
    case 'photo':
      return {
        what: 'photo',
        text: [content.text, photoWords(content)].filter((part) => part !== undefined).join(', '),
      };
    case 'ambient':
      return { what: 'ambient', text: temperature(content.temperatureC) };
    case 'withdrawn':
      return { what: 'withdrawn', text: content.text };
    case 'samples-removed':
      return { what: 'samples', text: `taken out after they were read back from ${content.exportFile}` };
    case 'learned-limits':
      return { what: 'limits', text: `learned from ${content.units} good units, in ${content.path}` };
    case 'signing-key':
      return { what: 'key', text: content.keyId };
  }
}

/** Oldest first. */
export function storyOf(store: Store, tag: string): StoryLine[] {
  const written = standingEntries(store.listShopEntries({ tag })).map((entry): StoryLine => {
    const { what, text } = contentWords(entry.content);
    const job = entry.content.kind === 'listed' && entry.job !== undefined ? `job ${entry.job}` : undefined;
    const corrected = entry.correctedAt === undefined ? undefined : `corrected ${when(entry.correctedAt)}`;
    const parts = [job, text, entry.operator, corrected].filter((part) => part !== undefined && part !== '');
    return { at: entry.at, entry: entry.id, what, text: parts.join('; ') };
  });
  const runs = store.listRuns({ tag });
  const decisions = runs.flatMap(({ runId }) => store.listDispositions(runId));
  return [...written, ...runs.map(runLine), ...decisions.map(decisionLine)].sort((a, b) =>
    a.at < b.at ? -1 : a.at > b.at ? 1 : 0,
  );
}

const runLine = (run: RunSummary): StoryLine => ({
  at: run.startedAt,
  runId: run.runId,
  what: `run ${run.runId}`,
  text: [verdictOf(run), run.sentence && retold(run.sentence), run.operator]
    .filter((part) => part !== undefined && part !== '')
    .join('; '),
});

const decisionLine = ({ at, word, reason, operator }: DispositionEntry): StoryLine => ({
  at,
  what: 'decided',
  text: [word === undefined ? 'taken back' : DISPOSITION_WORDS[word], reason, operator]
    .filter((part) => part !== undefined)
    .join('; '),
});

/** As cells: when, number, what, text. */
export const storyRows = (lines: readonly StoryLine[]): string[][] =>
  lines.map(({ at, entry, what, text }) =>
    [when(at), entry === undefined ? '' : `${entry}`, what, text].map(oneLine),
  );
