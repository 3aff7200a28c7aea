// The pages that are looked at while outputs are off: a unit's checks, traces, the table of the tray. A key that throws or
// decides something does neither here: what it does stands on the page of the bench.

import { stepSpans } from './bench-view-model.js';
import type { KeyAction } from './keys.js';
import { moved, movesRows } from './moved.js';
import type { StateHolder } from './screen-state.js';
import { type Looked, lookAfter, runEndS, wholeRun } from './trace-look.js';
import type { TraceStore } from './trace-store.js';

/** Above causes and checks of a unit's page: its sentence. */
const PIECES_ABOVE = 1;

export class Pages {
  constructor(
    readonly screen: StateHolder,
    readonly traces: TraceStore,
  ) {}

  /** Whether the key meant a page beside the bench; `index` is the unit whose checks would open. */
  pressBeside(action: KeyAction, index: number): boolean {
    const { page } = this.screen.state;
    if (action === 'checks')
      this.screen.set(page === 'unit' ? BENCH : { page: 'unit', selected: index, scroll: 0 });
    else if (action === 'traces') this.#openTraces();
    else if (page !== 'unit' && page !== 'traces') return false;
    else if (action === 'go-on') this.screen.set(BENCH);
    else if (page === 'unit') this.#scroll(action);
    else this.#look(action);
    return true;
  }

  /** After the last event. Whether the key meant something. */
  pressAfterEnd(action: KeyAction): void {
    const { page, selected, bench } = this.screen.state;
    if (action === 'traces') this.#openTraces();
    else if (page === 'traces' && action !== 'go-on') this.#look(action);
    else if (page === 'traces') this.screen.set(BENCH);
    else if (action === 'go-on') {
      const next = page === 'bench' && bench.units.length > 1 ? 'table' : page === 'unit' ? 'table' : 'unit';
      if (next === 'unit' && bench.units[selected] === undefined) return;
      const isOnly = bench.units.length === 1;
      this.screen.set({ page: next === 'table' && isOnly ? 'bench' : next, scroll: 0 });
    } else if (page === 'unit') this.#scroll(action);
    else if (page === 'table') this.screen.set({ selected: moved(selected, action, bench.units.length - 1) });
  }

  #scroll(action: KeyAction): void {
    if (!movesRows(action)) return;
    const { bench, selected, scroll } = this.screen.state;
    const unit = bench.units[selected];
    const pieces = PIECES_ABOVE + (unit?.findings.length ?? 0) + (unit?.checks.length ?? 0);
    this.screen.set({ scroll: moved(scroll, action, pieces - 1) });
  }

  /** The page of traces of what stands on the bench, or away from it. */
  #openTraces(): void {
    const { page } = this.screen.state;
    if (page === 'traces') this.screen.set(BENCH);
    else if (this.traces.endS > 0) this.screen.set({ page: 'traces', look: wholeRun(this.#looked()) });
  }

  #look(action: KeyAction): void {
    const { look } = this.screen.state;
    const after = look && lookAfter(look, action, this.#looked());
    if (after) this.screen.set({ look: after });
  }

  #looked(): Looked {
    const { bench } = this.screen.state;
    const spans = stepSpans(bench);
    const startsS = spans.filter(({ step }) => step.position !== 'rest').map(({ fromS }) => fromS);
    return { endS: runEndS(bench, this.traces), startsS };
  }
}

const BENCH = { page: 'bench' } as const;
