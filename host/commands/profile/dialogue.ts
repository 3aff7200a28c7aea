// Questions and answers in lines, at a terminal or in a pipe: every question shows its default, an empty line takes it,
// and where the input ends the defaults stand. "I do not know" is an answer.

import { createInterface } from 'node:readline';
import { nearestName, saysUnknown } from '../../input/index.js';
import { writtenNumber } from '../../profile/index.js';
import { formsNow, proposedSize, type StatedSize, shortly, wireSize } from '../../tell/index.js';
import type { CommandIo } from '../command.js';
import { wrapped } from '../wrapped.js';
import { wireTyped } from './typed-wire.js';

/** Question, default and a short answer in one line of 80. */
const NARROW = 64;

export interface Choice<T> {
  value: T;
  words: string;
  /** By which it may be named, besides its number. */
  id?: string;
}

export interface NumberAsked {
  question: string;
  unit: string;
  least: number;
  most: number;
  usual: number;
  /** Said where the answer is not known: what stands in. */
  otherwise: string;
}

export class Dialogue {
  readonly #io: CommandIo;
  readonly #lines: AsyncIterator<string>;
  readonly #close: () => void;
  #ended = false;

  /** @param source the lines that are typed; without it all that comes on standard input */
  constructor(io: CommandIo, source?: AsyncIterator<string>) {
    this.#io = io;
    if (source !== undefined) {
      this.#lines = source;
      this.#close = () => undefined;
      return;
    }
    const input = io.stdin ?? process.stdin;
    const lines = createInterface({ input, crlfDelay: Number.POSITIVE_INFINITY });
    this.#lines = lines[Symbol.asyncIterator]();
    this.#close = () => lines.close();
  }

  /** Nobody answers any more: what was answered last was a default. */
  get isEnded(): boolean {
    return this.#ended;
  }

  tell(text: string): void {
    for (const line of text.split('\n').flatMap((one) => wrapped(one, this.#io)))
      this.#io.stdout(`${line}\n`);
  }

  close(): void {
    this.#close();
  }

  /** The answer, trimmed; empty for the default, also where nobody answers any more. */
  async #answer(question: string, usual: string): Promise<string> {
    const gap = question.length + usual.length > NARROW ? '\n  ' : ' ';
    this.#io.stdout(`${wrapped(question, this.#io).join('\n')}${gap}[${usual}] `);
    if (this.#ended) {
      this.#io.stdout('\n');
      return '';
    }
    const { done, value } = await this.#lines.next();
    if (done === true) this.#ended = true;
    // What a pipe answers is not on the screen yet.
    if (!this.#io.isTty) this.#io.stdout(`${done === true ? '' : value}\n`);
    return done === true ? '' : value.trim();
  }

  /** @param refuse what is wrong with an answer, in words; undefined where it is right */
  async text(
    question: string,
    usual: string,
    refuse: (answer: string) => string | undefined,
  ): Promise<string> {
    for (;;) {
      const answer = await this.#answer(question, usual);
      if (answer === '' || saysUnknown(answer)) return usual;
      const wrong = refuse(answer);
      if (wrong === undefined) return answer;
      this.tell(`  ${wrong}`);
    }
  }

  /** By number, id or words. Undefined where the person does not know. */
  async choose<T>(question: string, choices: readonly Choice<T>[], usual: number): Promise<T | undefined> {
    this.tell(question);
    for (const [at, { words }] of choices.entries()) this.tell(`  ${String(at + 1).padStart(2)}  ${words}`);
    for (;;) {
      const answer = await this.#answer('Number, or "I do not know"', String(usual + 1));
      if (answer === '') return choices[usual]?.value;
      if (saysUnknown(answer)) return undefined;
      const small = answer.toLowerCase();
      const found = /^\d+$/.test(answer)
        ? choices[Number(answer) - 1]
        : choices.find(({ id, words }) => id?.toLowerCase() === small || words.toLowerCase() === small);
      if (found) return found.value;
      const near = nearestName(
        answer,
        choices.flatMap(({ id }) => id ?? []),
      );
      this.tell(
        `  ${near ? `Did you mean ${near}?` : `There is no ${answer}.`} Type 1 to ${choices.length}.`,
      );
    }
  }

  /** Undefined where the person does not know. */
  async number({ question, unit, least, most, usual, otherwise }: NumberAsked): Promise<number | undefined> {
    const shown = `${shortly(usual)}${unit === '' ? '' : ` ${unit}`}`;
    for (;;) {
      const answer = await this.#answer(question, otherwise === '' ? shown : otherwise);
      if (answer === '' || saysUnknown(answer)) return undefined;
      const value = writtenNumber(answer, unit);
      if (typeof value === 'number' && value >= least && value <= most) return value;
      const right = `type ${shortly(least)} to ${shortly(most)}${unit === '' ? '' : ` ${unit}`}, such as ${shown}`;
      this.tell(
        typeof value === 'number'
          ? `  ${shortly(value)}${unit === '' ? '' : ` ${unit}`} cannot be right: ${right}`
          : `  That is no number${value === 'other-unit' ? ` in ${unit}` : ''}: ${right}`,
      );
    }
  }

  /**
   * The size of a wire as it is stated, in mm² or as a gauge, asked for in the form that this workshop reads; as proposed
   * where the person does not know.
   */
  async wireSize(
    question: string,
    { usualMm2, least, most }: { usualMm2: number; least: number; most: number },
  ): Promise<StatedSize> {
    const usual = proposedSize(usualMm2);
    const how = formsNow().wire === 'AWG' ? 'as AWG (or such as 1.5 mm²)' : 'in mm² (or such as AWG 16)';
    for (;;) {
      const answer = await this.#answer(`${question}, ${how}?`, wireSize(usual));
      if (answer === '' || saysUnknown(answer)) return usual;
      const size = wireTyped(answer, { least, most });
      if (typeof size !== 'string') return size;
      this.tell(`  ${size}`);
    }
  }
}
