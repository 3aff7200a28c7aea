// What the dialogue with a hand meter says, in lines for people or objects for programs.

import { oneLine } from '../input/index.js';
import { isWrong, type Metering } from '../plan/index.js';
import { leftLines, type Probe, type Ranked, type Reading, type Taken, unitOf } from '../probe/index.js';
import type { ResolvedUnit } from '../profile/index.js';
import { capitalised, VERDICT_WORDS, wrapWords } from '../tell/index.js';
import type { CommandIo } from './command.js';
import type { MeterJudged } from './meter-judged.js';
import { readText, rulesOf, showsWords, unseenWords } from './meter-sheet.js';
import { NOTHING_UNDONE } from './probe-told.js';

type Right = ReturnType<Metering['good']['get']> & object;
const LEAST_INDENT = 2;
/** Causes are named from here on. */
const FEW = 6;

export class MeterTold {
  /** State of the bench that was last told. */
  #setup = '';

  constructor(
    readonly io: CommandIo,
    readonly json: boolean,
  ) {}

  begun(
    { runId, tag, unit }: { runId: string; tag: string; unit: ResolvedUnit },
    { provingCount, way }: Metering,
  ): void {
    this.#lines(
      [
        `${tag}, ${unit.unit.title}: ${unit.style.title}`,
        ...rulesOf(unit, way),
        `${provingCount} readings prove it right; a fault is mostly found with fewer.`,
      ],
      {
        ...{ kind: 'metering', runId, tag, profile: unit.unit.id, circuit: unit.style.id, way },
        provingReadings: provingCount,
      },
    );
  }

  next(
    probe: Probe,
    { reading, shows }: Right,
    { left, last, number }: { left: readonly Ranked[]; last: Taken | undefined; number: number },
  ): void {
    const isFew = last !== undefined && left.length <= FEW;
    const setup = reading.state === this.#setup ? [] : ['', `${capitalised(reading.state)}:`];
    this.#setup = reading.state;
    const isOpen = !Number.isFinite(shows.most);
    this.#lines(
      [
        ...(isFew ? ['', 'In question:', ...leftLines(left)] : []),
        ...setup,
        `${String(number).padStart(3)}  ${probe.words}, right: ${showsWords(reading.range, shows)}`,
      ],
      {
        ...{ kind: 'next-probe', number, probe: probe.id, state: reading.state, range: reading.range },
        ...{ from: reading.from.words, to: reading.to.words, open: isOpen },
        ...(isOpen ? {} : { least: shows.least, most: shows.most }),
        sentence: probe.words,
        causes: left.map(({ suspect: { cause }, chance }) => ({
          id: cause.id,
          sentence: cause.sentence,
          chance,
        })),
      },
    );
  }

  asks(wanted: string): void {
    if (!this.json) this.io.stdout(`     ${wanted} (skip, undo, stop): ${this.io.isTty ? '' : '\n'}`);
  }

  taken(probe: Probe, right: Right, reading: Reading): void {
    if (reading.kind !== 'number') return;
    const unit = unitOf(right.reading.range);
    const isRight = !isWrong(right, reading.value);
    this.#lines(
      [`     ${readText(reading.value, right.reading.range)}: ${isRight ? 'right' : 'NOT RIGHT'}`],
      {
        ...{ kind: 'taken', probe: probe.id, value: reading.value, unit, right: isRight },
      },
    );
  }

  undone(probe: Probe | undefined): void {
    const sentence = probe === undefined ? NOTHING_UNDONE : `Taken back: ${probe.words}.`;
    this.#lines([`     ${sentence}`], { kind: 'probe-undone', probe: probe?.id, sentence });
  }

  ended(
    { judgement: { verdict, sentence, findings }, conclusion, left }: MeterJudged,
    { unseen, way }: Metering,
    { runId, count }: { runId: string; count: number },
  ): void {
    const hidden =
      verdict === 'fail' || unseen.length === 0
        ? []
        : [
            '',
            `${unseenWords(way)}, or not at every strength:`,
            ...unseen.map(({ cause }) => `  - ${cause}`),
          ];
    const proof = findings.flatMap((finding) => (finding.proof ?? []).map((told) => `  Shown by: ${told}`));
    this.#lines(
      [
        ...hidden,
        '',
        `${VERDICT_WORDS[verdict]}  ${sentence}`,
        ...proof,
        `Recorded as run ${runId}, ${count} readings.`,
      ],
      {
        ...{ kind: 'metered', runId, verdict, conclusion, sentence, left, readings: count },
        unseen: unseen.map(({ id, sentence: told }) => ({ id, sentence: told })),
      },
    );
  }

  #lines(lines: readonly string[], object: object): void {
    if (this.json) this.io.stdout(`${JSON.stringify(object, openAsWord)}\n`);
    else this.io.stdout(lines.flatMap((line) => this.#wrapped(oneLine(line))).join(''));
  }

  /** In a terminal broken between words, under the line's own indent; in a pipe a line is a line. */
  #wrapped(line: string): string[] {
    const { isTty, columns } = this.io;
    const indent = /^[\s\d-]*/.exec(line)?.[0].length ?? LEAST_INDENT;
    if (!isTty || line.length < columns) return [`${line}\n`];
    return wrapWords(line.slice(indent), columns - 1 - indent).map(
      (part, i) => `${i === 0 ? line.slice(0, indent) : ' '.repeat(indent)}${part}\n`,
    );
  }
}

/** An open circuit is no number in JSON. */
const openAsWord = (_key: string, value: unknown): unknown =>
  typeof value === 'number' && !Number.isFinite(value) ? 'open' : value;
