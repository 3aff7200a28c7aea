// Looking at a run that is over: which part of it is enlarged, where the cursor stands, and what lies under the traces.

import { type BenchView, stepSpans } from './bench-view-model.js';
import type { KeyAction } from './keys.js';
import type { TraceStore } from './trace-store.js';

export interface TraceLook {
  fromS: number;
  toS: number;
  cursorS: number;
  under: 'nothing' | 'last-good' | 'attempt-before';
}

/** What can be looked at: the whole of it, and where its throws begin. */
export interface Looked {
  endS: number;
  startsS: readonly number[];
}

/** Shorter than this there are fewer samples than columns. */
const SHORTEST_S = 0.02;
/** Steps of the cursor across what is shown. */
const CURSOR_STEPS = 50;
/** The first tenth of a second of a throw, with a little of what was before it. */
const START = { beforeS: 0.005, behindS: 0.1 };
const UNDER: readonly TraceLook['under'][] = ['nothing', 'last-good', 'attempt-before'];

export const wholeRun = ({ endS }: Looked): TraceLook => ({
  fromS: 0,
  toS: endS,
  cursorS: endS / 2,
  under: 'nothing',
});

/** The look after a key; undefined for a key that means nothing here. */
export function lookAfter(look: TraceLook, action: KeyAction, run: Looked): TraceLook | undefined {
  const { fromS, toS, cursorS } = look;
  const widthS = toS - fromS;
  switch (action) {
    case 'left':
    case 'right': {
      const byS = (action === 'left' ? -1 : 1) * (widthS / CURSOR_STEPS);
      return follow({ ...look, cursorS: between(0, cursorS + byS, run.endS) }, run);
    }
    case 'up':
    case 'zoom-in':
      return zoomed(look, Math.max(SHORTEST_S, widthS / 2), run);
    case 'down':
    case 'zoom-out':
      return zoomed(look, Math.min(run.endS, widthS * 2), run);
    case 'page-down':
    case 'page-up': {
      const next =
        action === 'page-down'
          ? run.startsS.find((startS) => startS > cursorS + 1e-6)
          : run.startsS.findLast((startS) => startS < cursorS - 1e-6);
      if (next === undefined) return look;
      const [startS, endS] = [Math.max(0, next - START.beforeS), next + START.behindS];
      return { ...look, fromS: startS, toS: endS, cursorS: next };
    }
    case 'overlay':
      return { ...look, under: UNDER[(UNDER.indexOf(look.under) + 1) % UNDER.length] ?? 'nothing' };
    default:
      return undefined;
  }
}

/** As wide as said, the cursor where it was on the screen. */
function zoomed(look: TraceLook, widthS: number, run: Looked): TraceLook {
  const part = (look.cursorS - look.fromS) / (look.toS - look.fromS);
  const fromS = between(0, look.cursorS - part * widthS, Math.max(0, run.endS - widthS));
  return { ...look, fromS, toS: fromS + widthS };
}

/** Moved along where the cursor leaves it. */
function follow(look: TraceLook, run: Looked): TraceLook {
  const { fromS, toS, cursorS } = look;
  const byS = cursorS < fromS ? cursorS - fromS : cursorS > toS ? cursorS - toS : 0;
  const movedS = between(-fromS, byS, Math.max(0, run.endS - toS));
  return { ...look, fromS: fromS + movedS, toS: toS + movedS };
}

const between = (low: number, value: number, high: number): number => Math.min(high, Math.max(low, value));

/** End of the picture of the whole run. */
export const runEndS = (view: BenchView, traces: TraceStore): number =>
  Math.max(stepSpans(view).at(-1)?.toS ?? 0, traces.band?.timeS.at(-1) ?? 0, traces.endS, 0.1);
