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
  return together(written, runs.map(runLine), decisions.map(decisionLine));
}

/** Oldest first: what was taken back, by whom and why. No part of what stands, and on no sheet. */
export function withdrawnOf(store: Store, tag: string): StoryLine[] {
  const entries = store.listShopEntries({ tag });
  const byId = new Map(entries.map((entry) => [entry.id, entry]));
  return entries.flatMap(({ at, corrects, content, operator }): StoryLine[] => {
    const taken = corrects === undefined ? undefined : byId.get(corrects);
    if (content.kind !== 'withdrawn' || taken === undefined) return [];
    const { what, text } = contentWords(taken.content);
    const parts = [`${what} ${taken.id}: ${text}`, `because ${content.text}`, operator];
    return [{ at, what: 'withdrawn', text: parts.filter((part) => part !== undefined).join('; ') }];
  });
}

const byTime = (a: StoryLine, b: StoryLine): number => (a.at < b.at ? -1 : a.at > b.at ? 1 : 0);

/** Two stories as one. */
export const together = (...stories: readonly (readonly StoryLine[])[]): StoryLine[] =>
  stories.flat().sort(byTime);

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
