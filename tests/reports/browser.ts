// A headless Chromium driven over its debugging pipe (the DevTools protocol, messages parted by a NUL), for pages that
// open from disk. Asks for no network.

import { type ChildProcess, spawn, spawnSync } from 'node:child_process';
import { mkdtempSync } from 'node:fs';
import { rm } from 'node:fs/promises';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import type { Readable, Writable } from 'node:stream';
import { setTimeout } from 'node:timers/promises';

const PROGRAM = 'chromium';

export const hasBrowser = (): boolean => spawnSync(PROGRAM, ['--version']).status === 0;

type Reply = Record<string, unknown>;

export class Browser {
  readonly #child: ChildProcess;
  readonly #home = mkdtempSync(join(tmpdir(), 'throwbench-browser-'));
  readonly #waiting = new Map<number, (reply: { result?: Reply; error?: { message: string } }) => void>();
  readonly #listeners: ((method: string, params: Reply) => void)[] = [];
  #next = 1;
  #session: string | undefined;

  constructor() {
    const switches = [
      ...['--headless', '--no-sandbox', '--disable-gpu', '--disable-background-networking'],
      ...['--no-first-run', '--remote-debugging-pipe', `--user-data-dir=${this.#home}`],
    ];
    this.#child = spawn(PROGRAM, switches, { stdio: ['ignore', 'ignore', 'ignore', 'pipe', 'pipe'] });
    let rest = '';
    (this.#child.stdio[4] as Readable).setEncoding('utf8').on('data', (text: string) => {
      const parts = (rest + text).split('\0');
      rest = parts.pop() ?? '';
      for (const part of parts) this.#take(JSON.parse(part));
    });
  }

  #take(message: {
    id?: number;
    method?: string;
    params?: Reply;
    result?: Reply;
    error?: { message: string };
  }) {
    if (message.id !== undefined) this.#waiting.get(message.id)?.(message);
    else for (const hear of [...this.#listeners]) hear(message.method ?? '', message.params ?? {});
  }

  send(method: string, params: Reply = {}): Promise<Reply> {
    const id = this.#next++;
    const session = this.#session === undefined ? {} : { sessionId: this.#session };
    return new Promise((resolve, reject) => {
      this.#waiting.set(id, ({ result, error }) =>
        error ? reject(new Error(`${method}: ${error.message}`)) : resolve(result ?? {}),
      );
      (this.#child.stdio[3] as Writable).write(`${JSON.stringify({ id, method, params, ...session })}\0`);
    });
  }

  /** Opens a page and waits until it has loaded; returns what it asked for on the way. */
  async open(url: string): Promise<string[]> {
    if (this.#session === undefined) {
      const { targetId } = await this.send('Target.createTarget', { url: 'about:blank' });
      const { sessionId } = await this.send('Target.attachToTarget', { targetId, flatten: true });
      this.#session = sessionId as string;
      await this.send('Page.enable');
      await this.send('Network.enable');
    }
    const asked: string[] = [];
    let hear = (_method: string, _params: Reply): void => {};
    const loaded = new Promise<void>((resolve) => {
      hear = (method, params) => {
        if (method === 'Network.requestWillBeSent') asked.push((params.request as { url: string }).url);
        if (method === 'Page.loadEventFired') resolve();
      };
      this.#listeners.push(hear);
    });
    await this.send('Page.navigate', { url });
    await loaded;
    // The event may have been that of a page that a key was still opening.
    const isThere = `document.readyState === 'complete' && location.href.split('#')[0] === ${JSON.stringify(url.split('#')[0])}`;
    for (let tries = 0; tries < 200 && !(await this.ask<boolean>(isThere)); tries++) await setTimeout(25);
    this.#listeners.splice(this.#listeners.indexOf(hear), 1);
    return asked;
  }

  async ask<T>(expression: string): Promise<T> {
    const { result, exceptionDetails } = await this.send('Runtime.evaluate', {
      ...{ expression, returnByValue: true, awaitPromise: true },
    });
    if (exceptionDetails !== undefined) throw new Error(JSON.stringify(exceptionDetails));
    return (result as { value: T }).value;
  }

  /** A key as a person presses it. */
  async press(key: string, code: number, text?: string): Promise<void> {
    const told = { key, windowsVirtualKeyCode: code, ...(text === undefined ? {} : { text }) };
    await this.send('Input.dispatchKeyEvent', { type: 'keyDown', ...told });
    await this.send('Input.dispatchKeyEvent', { type: 'keyUp', ...told });
  }

  async type(text: string): Promise<void> {
    await this.send('Input.insertText', { text });
  }

  async close(): Promise<void> {
    const gone = new Promise((resolve) => this.#child.once('exit', resolve));
    this.#session = undefined;
    // Told to end it writes its folder to the end; killed, children of its own still write there.
    await this.send('Browser.close');
    await gone;
    await rm(this.#home, { recursive: true, force: true, maxRetries: 10, retryDelay: 100 });
  }
}
