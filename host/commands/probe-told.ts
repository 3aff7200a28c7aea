// What a probing says, in lines for people or objects for programs, and what it keeps with the record.

import { oneLine } from '../input/index.js';
import {
  type At,
  askedFor,
  conclusionText,
  leftLines,
  leftOf,
  meaningsOf,
  type Probe,
  type Ranked,
  type Reading,
  standingOf,
  type Taken,
  unitOf,
  type Walked,
} from '../probe/index.js';
import type { EntryContent, ProbeEntry, ProbeUndoneEntry } from '../records/index.js';
import { VERDICT_WORDS } from '../tell/index.js';
import { type CommandIo, EXIT } from './command.js';
import { entryText, givenText, givenWords } from './entry-text.js';
import type { Begun } from './probe-start.js';
import { wrapped } from './wrapped.js';

export const NOTHING_UNDONE = 'Nothing was taken yet that could be taken back.';
const LEFT_AT_ONCE = 'Left before one cause stood alone. Called again, it goes on from here.';

export class ProbeTold {
  constructor(
    readonly io: CommandIo,
    readonly json: boolean,
  ) {}

  lines(lines: readonly string[], object: object): void {
    if (this.json) this.io.stdout(`${JSON.stringify(object, openAsWord)}\n`);
    else
      this.io.stdout(
        lines
          .flatMap((line) => wrapped(oneLine(line), this.io))
          .map((line) => `${line}\n`)
          .join(''),
      );
  }

  begun({ record, before }: Begun): void {
    const { runId, tag, unit, verdict } = record;
    const word = verdict === undefined ? '' : `: ${VERDICT_WORDS[verdict]}`;
    const kept = before.length === 0 ? [] : [`Taken before: ${before.map(entryText).join('; ')}.`];
    this.lines([`Run ${runId}, ${tag}, ${unit.unit.title}${word}`, ...kept], {
      ...{ kind: 'probing', runId, tag, verdict },
      taken: before.map(({ probe, value, unit: of, yes }) => ({ probe, value, unit: of, yes })),
    });
  }

  next(probe: Probe, { left, number }: { left: readonly Ranked[]; number: number }): void {
    const meanings = meaningsOf(probe, left);
    this.lines(
      [
        '',
        'In question:',
        ...leftLines(left),
        `Probe ${number}: ${asSentence(probe.words)}`,
        `  ${meanings}.`,
      ],
      {
        ...{ kind: 'next-probe', number, probe: probe.id, does: probe.does, state: probe.state },
        ...{ where: probe.where.map(({ words }) => words), way: probe.way, costMin: probe.costMin },
        ...{ sentence: probe.words, meanings, wants: askedFor(probe), causes: causesJson(left) },
      },
    );
  }

  taken(probe: Probe, reading: Reading): void {
    const fields = readingFields(probe, reading);
    this.lines([`  taken: ${givenText(fields)}`], { kind: 'taken', probe: probe.id, ...fields });
  }

  undone(entry: ProbeUndoneEntry | undefined): void {
    const sentence = entry?.sentence ?? NOTHING_UNDONE;
    this.lines([`  ${sentence}`], entry ?? { kind: 'probe-undone', sentence });
  }

  /** Told already, to be let stand or taken back. */
  #told = '';

  asked(conclusion: string): void {
    this.#told = conclusion;
  }

  ended(walked: Walked): ReturnType<typeof endedEntry> {
    const entry = endedEntry(walked);
    this.lines(entry.sentence === this.#told ? [] : ['', entry.sentence], {
      ...entry,
      probes: walked.probing.taken.length,
    });
    return entry;
  }
}

/** Where a probing stood when it was asked for a probe. */
export const standing = ({ standing: { ranked }, probing }: At): { left: Ranked[]; number: number } => ({
  left: ranked.filter(({ chance }) => chance >= WORTH_A_LINE),
  number: probing.taken.length + 1,
});
const WORTH_A_LINE = 0.01;

/** Whether there is an end to keep: nothing was asked of a probing that had ended before. */
export const isNew = ({ probing }: Walked, { probing: start }: Begun): boolean =>
  probing.taken.length !== start.taken.length || probing.taken.at(-1) !== start.taken.at(-1);

export const exitOf = (kind: string): number =>
  kind === 'one' || kind === 'group' ? EXIT.pass : EXIT.cannotTell;

function endedEntry({ probing, end }: Walked): EntryContent & { kind: 'probed' } {
  const left = end?.left ?? leftOf(standingOf(probing));
  const told = left.map(({ suspect: { cause }, chance }) => ({ id: cause.id, cause: cause.cause, chance }));
  if (end === undefined)
    return { kind: 'probed', conclusion: 'broken-off', sentence: LEFT_AT_ONCE, left: told };
  return { kind: 'probed', conclusion: end.kind, sentence: conclusionText(end), left: told };
}

/** As it is kept with the record. */
export const probeEntry = (probe: Probe, reading: Reading, source: ProbeEntry['source']): ProbeEntry => ({
  kind: 'probe',
  ...{ source, probe: probe.id, words: probe.words, ...readingFields(probe, reading) },
});

export const undoneEntry = ({ probe, reading }: Taken): ProbeUndoneEntry => {
  const fields = { words: probe.words, ...readingFields(probe, reading) };
  return { kind: 'probe-undone', probe: probe.id, sentence: `Taken back: ${givenWords(fields)}.` };
};

function readingFields(probe: Probe, reading: Reading): Pick<ProbeEntry, 'value' | 'unit' | 'yes'> {
  if (reading.kind === 'answer') return { yes: reading.yes };
  const { value, standardUncertainty } = reading;
  const unit = probe.takes.kind === 'number' ? { unit: unitOf(probe.takes.range) } : {};
  return { value, ...unit, ...(standardUncertainty === undefined ? {} : { standardUncertainty }) };
}

const asSentence = (words: string): string => (words.endsWith('?') ? words : `${words}.`);

const causesJson = (left: readonly Ranked[]) =>
  left.map(({ suspect: { cause }, chance }) => ({ id: cause.id, sentence: cause.sentence, chance }));

/** An open circuit is no number in JSON. */
const openAsWord = (_key: string, value: unknown): unknown =>
  typeof value === 'number' && !Number.isFinite(value) ? 'open' : value;
