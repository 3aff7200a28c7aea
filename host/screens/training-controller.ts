// What the training screen is in: the run going on, then panes for readings, measuring and naming, then what is told.
// Drives nothing after the run: outputs are off by then.

import { itemAt } from '../arrays/index.js';
import type { BenchEvent } from '../bench/index.js';
import {
  type AskedProbe,
  type Nameable,
  type Reveal,
  searchNames,
  type Training,
} from '../bench/training/index.js';
import { type BenchView, EMPTY_VIEW } from './bench-view-model.js';
import { Following } from './changing.js';
import { isCtrlC, type KeyPress } from './keys.js';

export const PANES = ['readings', 'measure', 'name'] as const;
export type Pane = (typeof PANES)[number];

export interface TrainingState {
  phase: 'running' | 'asking' | 'telling' | 'told' | 'broken';
  bench: BenchView;
  pane: Pane;
  /** What was typed in the panes that search. */
  typed: Record<Pane, string>;
  /** Row chosen in the list of the pane. */
  chosen: number;
  answer?: AskedProbe;
  reveal?: Reveal;
  /** Outputs off was asked for while the run went on. */
  isStopping: boolean;
}

/** Closes with what was revealed. */
export class TrainingController extends Following<TrainingState, Reveal | undefined> {
  constructor(
    readonly training: Training,
    /** Puts outputs off; may be called any number of times. */
    readonly stop: () => void,
  ) {
    super({
      phase: 'running',
      bench: EMPTY_VIEW,
      pane: 'readings',
      typed: { readings: '', measure: '', name: '' },
      chosen: 0,
      isStopping: false,
    });
  }

  async consume(events: AsyncIterable<BenchEvent>): Promise<void> {
    for await (const event of events) this.take(event);
    this.set({ phase: this.training.readings === undefined ? 'broken' : 'asking' });
  }

  /** Measurements or faults that fit what was typed. */
  get list(): readonly Nameable[] {
    const { pane, typed } = this.state;
    if (pane === 'readings') return [];
    const all =
      pane === 'name'
        ? this.training.names
        : this.training.menu.map(({ id, question }) => ({ id, sentence: question }));
    return searchNames(all, typed[pane]);
  }

  press(input: string, key: KeyPress): void {
    const { phase } = this.state;
    if (isCtrlC(input, key)) this.leave();
    else if (phase === 'running') {
      if (!key.escape && !input.includes(' ')) return;
      this.set({ isStopping: true });
      this.stop();
    } else if (phase === 'asking') this.#pressAsking(input, key);
    else if (phase !== 'telling' && (key.return || /^q$/i.test(input))) this.close(this.state.reveal);
  }

  /** Outputs off, and the screen may close. */
  leave(): void {
    this.close(this.state.reveal);
    this.stop();
  }

  #pressAsking(input: string, key: KeyPress): void {
    const { pane, typed, chosen } = this.state;
    const most = Math.max(0, this.list.length - 1);
    const by = key.upArrow ? -1 : key.downArrow ? 1 : key.pageUp ? -8 : key.pageDown ? 8 : 0;
    if (key.tab) {
      const step = key.shift ? PANES.length - 1 : 1;
      this.set({ pane: itemAt(PANES, (PANES.indexOf(pane) + step) % PANES.length), chosen: 0 });
    } else if (key.return) this.#choose();
    else if (by !== 0) this.set({ chosen: Math.min(most, Math.max(0, chosen + by)) });
    else if (pane === 'readings') return;
    else if (key.escape) this.set({ typed: { ...typed, [pane]: '' }, chosen: 0 });
    else if (key.backspace || key.delete)
      this.set({ typed: { ...typed, [pane]: typed[pane].slice(0, -1) }, chosen: 0 });
    else if (!key.ctrl && /^[ -~]+$/.test(input))
      this.set({ typed: { ...typed, [pane]: `${typed[pane]}${input}`.slice(0, 40) }, chosen: 0 });
  }

  #choose(): void {
    const { pane, chosen } = this.state;
    if (pane === 'readings') {
      this.set({ pane: 'measure', chosen: 0 });
      return;
    }
    const found = this.list[chosen];
    if (found === undefined) return;
    if (pane === 'measure') {
      this.set({ answer: this.training.ask(found.id) });
      return;
    }
    this.set({ phase: 'telling' });
    // The proof takes a second or two: the word for it stands on the screen meanwhile.
    setTimeout(() => this.set({ phase: 'told', reveal: this.training.reveal(found) }), TELL_AFTER_MS);
  }
}

const TELL_AFTER_MS = 250;
