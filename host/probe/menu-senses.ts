// Eyes, ears and fingers: what is seen on the outside, which relay clicks, what a tap or a wiggle changes.

import { elementWords } from '../circuit/index.js';
import type { Hypothesis } from '../diagnose/index.js';
import type { ResolvedUnit } from '../profile/index.js';
import { withoutStop } from '../tell/index.js';
import { WAYS } from './bench-of.js';
import { placesOf } from './place.js';
import type { Expected, Probe } from './probe.js';

/** Of a hand's time. Common practice, no source. */
const GLANCE_MIN = 0.5;
const SOCKET_MIN = 1.5;
const LISTEN_MIN = 0.5;
const TAP_MIN = 0.5;
const WIGGLE_MIN = 0.7;

/** Eyes, ears and fingers err now and then. Choices of this program, no source; so are the next two. */
const SEEN = 0.96;
const SEEN_WRONGLY = 0.02;
const HEARD = 0.94;
/** What is seen of a part whose inside may be meant as well. */
const SEEN_OR_INSIDE = 0.5;
/** What changes under a finger of a circuit without a loose joint. */
const FELT_WRONGLY = 0.04;

const ofChance = (yes: number): Expected => ({ yes });

/** One look for each cause that shows on the outside. */
export function lookProbes(unit: ResolvedUnit, causes: readonly Hypothesis[]): Probe[] {
  const places = placesOf(unit.style);
  return causes.filter(showsOutside).map((cause): Probe => {
    const isGlance = cause.owner === 'rig' || cause.kind === 'wrong-part';
    return {
      id: `look-${cause.id}`,
      does: 'look',
      where: places.filter(({ at }) =>
        at.kind === 'terminal'
          ? cause.marks.some(({ part, mark }) => part === at.part && mark === at.mark)
          : false,
      ),
      state: isGlance ? 'off' : 'unplugged',
      costMin: isGlance ? GLANCE_MIN : SOCKET_MIN,
      takes: { kind: 'answer' },
      words: `Outputs off, look and follow the wires by eye. Is it so: ${withoutStop(cause.cause)}?`,
      expect: ({ cause: other }) =>
        ofChance(isSeenIn(cause, other) ? (isInsideToo(cause) ? SEEN_OR_INSIDE : SEEN) : SEEN_WRONGLY),
    };
  });
}

const showsOutside = ({ kind, probe, owner }: Hypothesis): boolean =>
  (kind === 'exchanged' ||
    kind === 'misplaced' ||
    kind === 'wrong-part' ||
    (owner === 'rig' && probe.does === 'look')) &&
  probe.does !== 'measure-resistance' &&
  probe.does !== 'test-diode';

/** A contact that does not close looks like nothing. */
const isInsideToo = ({ probe, kind, cause }: Hypothesis): boolean =>
  kind === 'wrong-part' && probe.does === 'look' && /\bor\b/.test(cause);

/** The same wires or marks, or more of them. */
const isSeenIn = (looked: Hypothesis, other: Hypothesis): boolean =>
  looked.id === other.id ||
  (looked.kind === other.kind &&
    looked.marks.length > 0 &&
    looked.marks.every(({ part, mark }) =>
      other.marks.some((each) => each.part === part && each.mark === mark),
    ));

export function senseProbes({ style, load }: ResolvedUnit): Probe[] {
  const relays = style.elements.filter((element) => element.kind === 'relay');
  const clicks = relays.flatMap((relay) =>
    WAYS.map(
      (way): Probe => ({
        id: `listen-${relay.id}-${way}`,
        does: 'listen',
        where: [],
        state: 'thrown',
        way,
        costMin: LISTEN_MIN,
        takes: { kind: 'answer' },
        words: `Put a finger on ${elementWords(relay)} and throw ${way}: does it click?`,
        expect: ({ bench }) => ofChance(bench.thrown(way).clicks.has(relay.id) ? HEARD : 1 - HEARD),
      }),
    ),
  );
  const felt = (chance: number | undefined): Expected => ofChance(Math.max(FELT_WRONGLY, chance ?? 0));
  const fingers: Probe = {
    id: 'wiggle-harness',
    does: 'wiggle',
    where: [],
    state: 'thrown',
    way: 'forward',
    costMin: WIGGLE_MIN,
    takes: { kind: 'answer' },
    words:
      'Throw each way and wiggle plugs and joints, hands clear of what moves: does the current come and go?',
    expect: ({ cause }) => felt(cause.dropouts.harness),
  };
  if (load !== undefined) return [...clicks, fingers];
  const tap: Probe = {
    ...fingers,
    id: 'tap-motor',
    does: 'tap',
    costMin: TAP_MIN,
    words: 'Throw each way and tap the case of the motor: does the current come and go, or the motor start?',
    expect: ({ cause }) => felt(cause.dropouts.motor),
  };
  return [...clicks, tap, fingers];
}
