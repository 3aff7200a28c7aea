// Injected streams of a fixed size: frames as text, keys as bytes.

import { PassThrough } from 'node:stream';
import { render } from 'ink';
import { createElement } from 'react';
import { BenchApp } from '../../host/screens/BenchApp.js';
import { BenchScreen } from '../../host/screens/BenchScreen.js';
import { FrameStream } from '../../host/screens/frame-stream.js';
import type { BenchController, Theme } from '../../host/screens/index.js';
import type { BenchScreenProps } from '../../host/screens/screen-props.js';

export const UNICODE: Theme = { unicode: true, colour: false };
export const ASCII: Theme = { unicode: false, colour: false };

const ESC = '\u001b';
const ESCAPE_CODES = new RegExp(`${ESC}\\[[0-9;?]*[A-Za-z]`, 'g');
const TO_ROW = new RegExp(`^${ESC}\\[(\\d+);1H`);
const BEFORE_ROWS = new RegExp(`(?=${ESC}\\[\\d+;1H)`);

/** Keeps the cells of a terminal as text: just the codes that the frame stream writes. */
export class FakeTerminal {
  readonly frames: FrameStream;
  readonly written: string[] = [];
  #rows: string[] = [];

  constructor(
    public size: { columns: number; rows: number },
    theme: Theme,
  ) {
    this.frames = new FrameStream(size, (text) => this.#take(text), { ascii: !theme.unicode });
  }

  resize(size: { columns: number; rows: number }): void {
    this.size = size;
    this.frames.resize(size);
  }

  get text(): string {
    return this.#rows.join('\n');
  }

  #take(text: string): void {
    this.written.push(text);
    if (text.includes('\u001b[2J')) this.#rows = [];
    for (const part of text.split(BEFORE_ROWS)) {
      const at = TO_ROW.exec(part);
      if (!at) continue;
      const line = part.replace(ESCAPE_CODES, '');
      const row = Number(at[1]) - 1;
      if (row >= this.size.rows) throw new Error(`wrote row ${row + 1} of ${this.size.rows}`);
      if (line.length > this.size.columns)
        throw new Error(`wrote ${line.length} of ${this.size.columns} columns`);
      while (this.#rows.length <= row) this.#rows.push('');
      this.#rows[row] = line;
    }
  }
}

/** Standard input of a terminal in raw mode. */
export class FakeKeyboard extends PassThrough {
  readonly isTTY = true;
  isRaw = false;

  setRawMode(isRaw: boolean): this {
    this.isRaw = isRaw;
    return this;
  }

  ref(): this {
    return this;
  }

  unref(): this {
    return this;
  }
}

/** One frame of the bench screen as text, lines without trailing blanks. */
export function frameOf(props: BenchScreenProps): string {
  const terminal = new FakeTerminal(props, props.theme);
  const app = render(createElement(BenchScreen, props), {
    stdout: terminal.frames as unknown as NodeJS.WriteStream,
    stdin: new FakeKeyboard() as unknown as NodeJS.ReadStream,
    debug: true,
    patchConsole: false,
  });
  const { text } = terminal;
  app.unmount();
  return text
    .split('\n')
    .map((line) => line.trimEnd())
    .join('\n');
}

/** The whole application on a fake terminal. */
export function mountApp(
  controller: BenchController,
  size: { columns: number; rows: number },
  theme = UNICODE,
) {
  const terminal = new FakeTerminal(size, theme);
  const keyboard = new FakeKeyboard();
  const app = render(createElement(BenchApp, { controller, frames: terminal.frames, theme }), {
    stdout: terminal.frames as unknown as NodeJS.WriteStream,
    stdin: keyboard as unknown as NodeJS.ReadStream,
    exitOnCtrlC: false,
    patchConsole: false,
    debug: true,
  });
  return { terminal, keyboard, app };
}
