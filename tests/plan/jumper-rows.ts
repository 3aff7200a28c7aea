// The truth table of a six-terminal switch and its jumpers, row by row.

import { type Fault, type FaultEdit, faultById, OPEN_OHM } from '../../host/circuit/index.js';
import { type CircuitStyle, loadCircuit } from '../../host/profile/index.js';

/** As one fault of a jumper. */
export function faultsOf(style: CircuitStyle, edits: readonly FaultEdit[]): Fault[] {
  return edits.length === 0 ? [] : [{ ...faultById({ style }, 'jumper-a1-b2-missing'), id: 'row', edits }];
}

const lands = (element: string, terminal: 'a' | 'b', node: string): FaultEdit => ({
  do: 'land',
  at: { element, terminal },
  node,
});
const missing = (element: string): FaultEdit => ({
  do: 'series',
  at: { element, terminal: 'a' },
  resistanceOhm: OPEN_OHM,
});
const ONE = 'jumper-a1-b2';
const TWO = 'jumper-a2-b1';

/** Rest, throw A, throw B. `dead low` and `nothing` are both dead at 0/0 with a motor between the leads. */
export interface Row {
  words: string;
  edits: FaultEdit[];
  does: [string, string, string];
}

const onCommons = loadCircuit('switch-motor-on-commons');
/** Feed on a1, ground on b1. */
const alongThePole: CircuitStyle = {
  ...onCommons,
  elements: onCommons.elements.map((element) =>
    element.kind === 'wire' && element.id === 'ground' ? { ...element, a: 'b1' } : element,
  ),
};

// Truth of the jumpers by circuit laws: which contact closes in which throw, and what is joined then. No source.
export const TABLES: { words: string; style: CircuitStyle; rows: Row[] }[] = [
  {
    words: 'feed on c1 and c2, motor on a1 and a2',
    style: loadCircuit('switch-carried-open-rest'),
    rows: [
      { words: 'crossed', edits: [], does: ['nothing', '+', '-'] },
      {
        words: 'along each pole',
        edits: [lands(ONE, 'b', 'b1'), lands(TWO, 'b', 'b2')],
        does: ['nothing', '+', '+'],
      },
      {
        words: 'across the poles, both',
        edits: [lands(ONE, 'b', 'a2'), lands(TWO, 'a', 'b2')],
        does: ['nothing', 'short', 'short'],
      },
      {
        words: 'across, motor end only',
        edits: [lands(ONE, 'b', 'a2'), missing(TWO)],
        does: ['nothing', 'short', 'nothing'],
      },
      {
        words: 'across, far end only',
        edits: [missing(ONE), lands(TWO, 'a', 'b2')],
        does: ['nothing', '+', 'short'],
      },
      { words: 'both on one corner', edits: [lands(TWO, 'b', 'b2')], does: ['nothing', 'short', 'dead low'] },
      { words: 'a1-b2 only', edits: [missing(TWO)], does: ['nothing', '+', 'dead low'] },
      { words: 'a2-b1 only', edits: [missing(ONE)], does: ['nothing', '+', 'dead high'] },
      { words: 'none', edits: [missing(ONE), missing(TWO)], does: ['nothing', '+', 'nothing'] },
    ],
  },
  {
    words: 'feed on a1 and a2, motor on c1 and c2',
    style: onCommons,
    rows: [
      { words: 'crossed', edits: [], does: ['nothing', '+', '-'] },
      {
        words: 'along each pole',
        edits: [lands(ONE, 'b', 'b1'), lands(TWO, 'b', 'b2')],
        does: ['nothing', '+', '+'],
      },
      {
        words: 'across at the feed end',
        edits: [lands(ONE, 'b', 'a2'), missing(TWO)],
        does: ['short', 'short', 'short'],
      },
      { words: 'a1-b2 only', edits: [missing(TWO)], does: ['nothing', '+', 'dead high'] },
      { words: 'both on a1', edits: [lands(TWO, 'a', 'a1')], does: ['nothing', '+', 'dead high'] },
    ],
  },
  {
    words: 'motor on c1 and c2, feed on a1, ground on b1',
    style: alongThePole,
    rows: [
      { words: 'crossed', edits: [], does: ['nothing', '+', '-'] },
      {
        words: 'across the poles',
        edits: [lands(ONE, 'b', 'a2'), lands(TWO, 'a', 'b2')],
        does: ['nothing', 'dead high', 'dead low'],
      },
      {
        words: 'along the pole',
        edits: [lands(ONE, 'b', 'b1'), missing(TWO)],
        does: ['short', 'short', 'short'],
      },
    ],
  },
];
