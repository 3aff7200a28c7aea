// Eyes, ears and fingers: what is seen on the outside, which relay clicks, what a press, a tap or a wiggle changes.

import { elementWords } from '../circuit/index.js';
import { COST_MIN, type Hypothesis, handProbes } from '../diagnose/index.js';
import type { ResolvedUnit } from '../profile/index.js';
import { WAYS } from './bench-of.js';
import { placesOf } from './place.js';
import type { Probe } from './probe.js';

/** An ear errs now and then. Choice of this program, no source. */
const HEARD = 0.94;

/** @param causes what may be the matter: eyes look for what shows on the outside, fingers press what may grip badly. */
export function senseProbes(unit: ResolvedUnit, causes: readonly Hypothesis[]): Probe[] {
  const places = placesOf(unit.style);
  const byHand = handProbes(unit, causes).map(
    ({ yes, marks, ifYes: _, of: __, ...probe }): Probe => ({
      ...probe,
      where: places.filter(
        ({ at }) =>
          at.kind === 'terminal' && marks.some(({ part, mark }) => part === at.part && mark === at.mark),
      ),
      takes: { kind: 'answer' },
      expect: ({ cause }) => ({ yes: yes(cause) }),
    }),
  );
  return [...byHand, ...clicks(unit)];
}

const clicks = ({ style }: ResolvedUnit): Probe[] =>
  style.elements.flatMap((relay): Probe[] =>
    relay.kind !== 'relay'
      ? []
      : WAYS.map((way) => ({
          id: `listen-${relay.id}-${way}`,
          does: 'listen',
          where: [],
          state: 'thrown',
          way,
          costMin: COST_MIN.listen,
          takes: { kind: 'answer' },
          words: `Put a finger on ${elementWords(relay)} and throw ${way}: does it click?`,
          expect: ({ bench }) => ({ yes: bench.thrown(way).clicks.has(relay.id) ? HEARD : 1 - HEARD }),
        })),
  );
