// Tells keys from scans. A code reader types a tag as fast as no hand does and ends with Enter, or with what it was set to
// in place of it (line feed, Tab, ETX after an STX): such a run of characters is one scan, its end a part of it. Space, Esc
// and Ctrl-C wait for nothing.

import type { Clock, Timer } from '../link/index.js';
import { isCtrlC, type KeyAction, type KeyPress, keyAction } from './keys.js';

/** Readers send a character every 1 to 15 ms (value from memory); a key held down repeats every 30 to 40 ms. */
const GAP_S = 0.03;
/** A run of this many characters is a scan. */
const LEAST_SCANNED = 3;
/** A reader that ends with two line ends, and a pedal that bounces. */
const BOUNCE_S = 0.1;
/** A tag between STX and ETX, the marks of text in ISO/IEC 646. */
// biome-ignore lint/suspicious/noControlCharactersInRegex: these are the marks.
const FRAMED = /^\u0002[^\u0000-\u001f]{3,}\u0003$/;

export interface KeyTarget {
  /** Text is being typed: characters go there one by one. */
  readonly isTyping: boolean;
  /** Something may be energised: nobody waits to see whether a run of characters goes on. */
  readonly isRunning: boolean;
  press(action: KeyAction): void;
  type(character: string): void;
  erase(): void;
  scan(text: string): void;
}

export class KeyReader {
  #run = '';
  #settle: Timer | undefined;
  #enterS = Number.NEGATIVE_INFINITY;
  /** Characters that came so far faster than a hand's, whether they are gathered or typed. */
  #fast = 0;
  #characterS = Number.NEGATIVE_INFINITY;
  /** The reader began with STX (Ctrl-B), so that its ETX is no Ctrl-C of a hand. */
  #isFramed = false;

  constructor(
    readonly target: KeyTarget,
    readonly clock: Clock,
    /** Typed by a foot switch in place of Enter; never a character of a tag. */
    readonly startKey?: string,
  ) {}

  take(input: string, key: KeyPress): void {
    const { target } = this;
    if (this.#isEndOfFrame(input, key)) this.#endOfScan();
    else if (FRAMED.test(input)) this.#framed(input);
    else if (isCtrlC(input, key) || key.escape) {
      this.#forget();
      target.press(isCtrlC(input, key) ? 'leave' : 'outputs-off');
    } else if (key.backspace || key.delete) target.erase();
    else if (key.return) this.#enter();
    else if (key.tab && !key.shift && this.#isScanning) this.#endOfScan();
    else if (key.ctrl && input === 'b') this.#beginFrame();
    else if (key.ctrl && input === 'z') target.press('undo');
    else if (input === '' || key.ctrl || key.meta) target.press(keyAction('', key));
    // A panic key that arrives in one piece with others is one all the same.
    else if (input.includes('\u001b')) {
      this.#forget();
      target.press('outputs-off');
    }
    // After a panic key the rest of a run means nothing: a key held down comes as several.
    else if (!target.isTyping && input.includes(' ')) this.#character(' ');
    else for (const character of input) this.#character(character);
  }

  /** Drops what waits to be told apart. */
  dispose(): void {
    this.#forget();
  }

  /** Characters came too fast for a hand, the last of them just now. */
  get #isScanning(): boolean {
    return this.#fast >= LEAST_SCANNED && this.clock.nowS() - this.#characterS <= GAP_S;
  }

  #isEndOfFrame(input: string, key: KeyPress): boolean {
    return this.#isFramed && this.#isScanning && (input === '\u0003' || (key.ctrl === true && input === 'c'));
  }

  #beginFrame(): void {
    this.#forget();
    this.#fast = 0;
    this.#isFramed = true;
  }

  /** STX, a tag and ETX in one piece. */
  #framed(input: string): void {
    this.#beginFrame();
    for (const character of input.slice(1, -1)) this.#character(character);
    this.#endOfScan();
  }

  /** What of a scan has not been told yet is told; typed text is entered; where it stopped a run, nothing is left to do. */
  #endOfScan(): void {
    const { target } = this;
    this.#isFramed = false;
    if (this.#run !== '' || target.isTyping) this.#enter();
    this.#fast = 0;
  }

  #character(character: string): void {
    // A terminal's Enter is a carriage return; a line feed is a reader's, or the second of both.
    if (character === '\r' || character === '\n' || character === this.startKey) this.#enter();
    else if (character === '\t' && this.#isScanning) this.#endOfScan();
    else this.#letter(character);
  }

  #letter(character: string): void {
    const { target } = this;
    this.#fast = this.clock.nowS() - this.#characterS <= GAP_S ? this.#fast + 1 : 1;
    this.#characterS = this.clock.nowS();
    // A Backspace held down comes as several at once.
    if (character === '\u007f' || character === '\b') target.erase();
    else if (character < ' ') return;
    else if (target.isTyping) target.type(character);
    else if (character === ' ') {
      this.#forget();
      target.press('outputs-off');
    } else {
      this.#run += character;
      if (target.isRunning && this.#run.length >= LEAST_SCANNED) this.#tell();
      else {
        this.#settle?.cancel();
        this.#settle = this.clock.after(GAP_S, () => this.#tell());
      }
    }
  }

  #enter(): void {
    const sinceS = this.clock.nowS() - this.#enterS;
    this.#enterS = this.clock.nowS();
    if (this.#run !== '') {
      const run = this.#run;
      this.#forget();
      // Too short for a tag and too fast for a hand: neither a key nor an Enter.
      if (run.length >= LEAST_SCANNED) this.target.scan(run);
    } else if (sinceS > BOUNCE_S) this.target.press('go-on');
  }

  /** The run is over: a scan, or keys that were pressed quickly. */
  #tell(): void {
    const run = this.#run;
    this.#forget();
    if (run.length >= LEAST_SCANNED) this.target.scan(run);
    else for (const character of run) this.target.press(keyAction(character, {}));
  }

  #forget(): void {
    this.#run = '';
    this.#settle?.cancel();
  }
}
