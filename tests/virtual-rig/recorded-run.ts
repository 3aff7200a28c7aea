// One run of a good unit on the virtual rig, from connection to record, through a port that may do harm.

import { type BenchEvent, type Desk, runUnit } from '../../host/bench/index.js';
import { boundOf, type Expectation, judge } from '../../host/judge/index.js';
import { loadCase } from '../../host/profile/index.js';
import type { Store } from '../../host/records/index.js';
import { connectRig } from '../../host/rig/index.js';
import type { EmulatedBoard } from '../../host/virtual-rig/index.js';
import { openVirtualRig, type VirtualRig } from '../../host/virtual-rig/index.js';
import { expectationOf } from '../judge/known-expectations.js';
import { knownUnit } from '../profile/known-unit.js';
import { HostileBinding } from '../rig/hostile-binding.js';

export const UNIT = knownUnit('roof-vent-switch');
const GOOD = loadCase('roof-vent-good');

let expected: Expectation | undefined;
/** Judges in this thread, by fewer draws than the program takes. */
export const DESK: Desk = {
  prepare: async (unit) => {
    expected ??= expectationOf(unit, 40);
    return boundOf(expected);
  },
  judge: async (unit, capture, stop) => judge({ unit, capture, expectation: expected!, stop }),
  close: async () => {},
};

/** One rig on one port, used for run after run without a restart. */
export class BenchOnPort {
  readonly virtual: VirtualRig;
  readonly binding: HostileBinding;

  constructor(seed: number) {
    this.virtual = openVirtualRig({ unit: UNIT, virtualCase: GOOD, paced: false });
    this.binding = new HostileBinding(this.virtual.binding, seed);
  }

  async run(store: Store, onEvent: (event: BenchEvent, bench: BenchOnPort) => void = () => {}) {
    const events: BenchEvent[] = [];
    const { clock } = this.virtual;
    const verdict = await runUnit(
      {
        index: 0,
        tag: 'V-0107',
        unit: UNIT,
        connect: async (onWaiting) => {
          const port = { binding: this.binding, path: 'virtual' };
          const rig = await connectRig({ port, clock, rigProfile: UNIT.rig, onWaiting, busyPatienceS: 0.5 });
          return { rig, close: () => rig.close() };
        },
      },
      {
        store,
        desk: DESK,
        signal: new AbortController().signal,
        now: () => new Date('2026-05-04T08:00:00Z'),
      },
      (event) => {
        events.push(event);
        onEvent(event, this);
      },
    );
    return { verdict, events };
  }
}

/** Swallows whole frames on their way from the board, by their number; gives back how many. */
export function loseFrames(board: EmulatedBoard, isLost: (number: number) => boolean): () => number {
  const send = board.onTransmit!;
  let text = '';
  let lost = 0;
  board.onTransmit = (bytes) => {
    text += Buffer.from(bytes).toString('latin1');
    for (let end = text.indexOf('\n'); end >= 0; end = text.indexOf('\n')) {
      const line = text.slice(0, end + 1);
      text = text.slice(end + 1);
      // Three characters of six bits behind the tilde (PROTOCOL.md, frames).
      const digit = (at: number): number => line.charCodeAt(at) - 48;
      if (line.startsWith('~') && isLost(digit(1) * 4096 + digit(2) * 64 + digit(3))) lost += 1;
      else send(Buffer.from(line, 'latin1'));
    }
  };
  return () => lost;
}
