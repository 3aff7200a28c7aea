// The program in a real terminal: a pseudo-terminal at both ends of which are real bytes, its screen kept as text.

import { mkdtempSync, rmSync } from 'node:fs';
import { join } from 'node:path';
import { type IPty, spawn } from '@lydell/node-pty';
import { ROOT } from '../rules/source-tree.js';

const ESC = '\u001b';
const CODES = new RegExp(`${ESC}\\[[0-9;?]*[A-Za-z]`, 'g');
const TO_ROW = new RegExp(`^${ESC}\\[(\\d+);1H`);
const CUT_CODE = new RegExp(`${ESC}(\\[[0-9;?]*)?$`);
const PIECES = new RegExp(`(?=${ESC}\\[\\d+;1H)|(?=${ESC}\\[2J)|(?=${ESC}\\[\\?1049l)`);

export interface Window {
  columns: number;
  rows: number;
}

/** From one Enter to the next that throws, ms: it must be a press of its own. */
const OWN_PRESS_MS = 900;

export class PtyTerminal {
  readonly exited: Promise<number>;
  /** Everything that was written, as it came. */
  raw = '';
  /** What stands below the screen once the terminal was given back. */
  after = '';
  readonly #process: IPty;
  #rows: string[] = [];
  /** What the next bytes may go on with: a row that is still being written, a code cut in two. */
  #pending = '';
  #isBack = true;
  #isOver = false;

  constructor(args: string[], { columns, rows }: Window, env: Record<string, string>) {
    this.#process = spawn(process.execPath, args, {
      name: 'xterm-256color',
      cols: columns,
      rows,
      cwd: ROOT,
      env: { ...process.env, LANG: 'C.UTF-8', LC_ALL: 'C.UTF-8', ...env } as Record<string, string>,
    });
    this.#process.onData((text) => this.#take(text));
    this.exited = new Promise((resolve) => {
      this.#process.onExit(({ exitCode }) => {
        this.#isOver = true;
        resolve(exitCode);
      });
    });
  }

  get text(): string {
    return this.#rows.join('\n');
  }

  /** Cursor, screen and line mode are as before. */
  get isGivenBack(): boolean {
    return this.#isBack && this.raw.lastIndexOf(`${ESC}[?25h`) > this.raw.lastIndexOf(`${ESC}[?25l`);
  }

  get pid(): number {
    return this.#process.pid;
  }

  send(keys: string): void {
    this.#process.write(keys);
  }

  resize({ columns, rows }: Window): void {
    if (!this.#isOver) this.#process.resize(columns, rows);
  }

  kill(signal: string): void {
    if (!this.#isOver) this.#process.kill(signal);
  }

  /** Waits until the screen holds the words. @throws with the screen as it stood where it never did. */
  async sees(words: string | RegExp, withinS = 60): Promise<void> {
    const has = (): boolean =>
      typeof words === 'string' ? this.text.includes(words) : words.test(this.text);
    for (let waitedS = 0; !has(); waitedS += 0.05) {
      if (waitedS > withinS) throw new Error(`never saw ${String(words)} in:\n${this.text}\n${this.after}`);
      await new Promise((resolve) => setTimeout(resolve, 50));
    }
  }

  /**
   * Presses Enter until the words have gone: on a crowded machine a press may come before the screen counts it as one of
   * its own, and is ignored then. @throws with the screen as it stood where they never went
   */
  async enterLeaves(words: string): Promise<void> {
    for (let tries = 0; tries < 12; tries++) {
      await new Promise((resolve) => setTimeout(resolve, OWN_PRESS_MS));
      if (this.text.includes(words)) this.send('\r');
      for (let waitedS = 0; waitedS < 5; waitedS += 0.05) {
        if (!this.text.includes(words)) return;
        await new Promise((resolve) => setTimeout(resolve, 50));
      }
    }
    throw new Error(`Enter never left ${words}:\n${this.text}`);
  }

  #take(text: string): void {
    this.raw += text;
    const all = this.#pending + text;
    const cut = CUT_CODE.exec(all)?.index ?? all.length;
    const parts = all.slice(0, cut).split(PIECES);
    const last = parts.at(-1) ?? '';
    this.#pending = (TO_ROW.test(last) ? last : '') + all.slice(cut);
    for (const part of parts) {
      if (part.includes(`${ESC}[?1049h`)) this.#isBack = false;
      if (part.startsWith(`${ESC}[?1049l`)) this.#isBack = true;
      if (part.includes(`${ESC}[2J`)) this.#rows = [];
      const at = TO_ROW.exec(part);
      const line = part.replace(CODES, '');
      if (!at) {
        if (this.#isBack) this.after += line;
        continue;
      }
      const row = Number(at[1]) - 1;
      while (this.#rows.length <= row) this.#rows.push('');
      this.#rows[row] = line.trimEnd();
    }
  }
}

/** A folder for records and what is kept of profiles, inside of the repository as the program is built there too. */
export function madeFolder(): { folder: string; remove(): void } {
  const folder = mkdtempSync(join(ROOT, 'node_modules', '.throwbench-terminal-'));
  return { folder, remove: () => rmSync(folder, { recursive: true, force: true }) };
}
