// Eyes and fingers: what is seen on the outside, what a press, a tap or a wiggle changes. Which cause it is tells what
// comes of it; no circuit is solved.

import { known } from '../../fields/index.js';
import type { ResolvedUnit } from '../../profile/index.js';
import { withoutStop } from '../../tell/index.js';
import type { Hypothesis } from '../hypotheses.js';
import { type Acted, COST_MIN } from './actions.js';

export interface HandProbe extends Acted {
  /** kebab-case, permanent within a style. */
  id: string;
  way?: 'forward';
  /** The question, as one says it aloud. */
  words: string;
  /** The one cause that is asked of. */
  of?: string;
  /** What to do after a yes, as a clause. */
  ifYes?: string;
  /** Terminals that are looked at. */
  marks: Hypothesis['marks'];
  /** Chance of a yes, if this is the cause. */
  yes(cause: Hypothesis): number;
}

/** Eyes and fingers err now and then. Choices of this program, no source; so are the next three. */
const SEEN = 0.96;
const SEEN_WRONGLY = 0.02;
/** What is seen of a part whose inside may be meant as well. */
const SEEN_OR_INSIDE = 0.5;
/** What changes under a finger of a circuit without a loose joint. */
const FELT_WRONGLY = 0.04;
const PRESSED = 0.93;

/** What a unit with these causes can be asked, in the order of a good hand. */
export const handProbes = ({ load, style }: ResolvedUnit, causes: readonly Hypothesis[]): HandProbe[] => [
  ...lookProbes(causes),
  ...(load === undefined && style.elements.some(({ kind }) => kind === 'motor') ? [tap] : []),
  ...pressProbes(causes),
  wiggle,
];

/** One look for each cause that shows on the outside. */
const lookProbes = (causes: readonly Hypothesis[]): HandProbe[] =>
  causes.filter(showsOutside).map((cause): HandProbe => {
    const isGlance = cause.owner === 'rig' || cause.kind === 'wrong-part';
    return {
      id: `look-${cause.id}`,
      of: cause.id,
      does: 'look',
      state: isGlance ? 'off' : 'unplugged',
      costMin: isGlance ? COST_MIN.glance : COST_MIN.look,
      words: `Outputs off, look and follow the wires by eye. Is it so: ${withoutStop(cause.cause)}?`,
      marks: cause.marks,
      yes: (other) => (isSeenIn(cause, other) ? (isInsideToo(cause) ? SEEN_OR_INSIDE : SEEN) : SEEN_WRONGLY),
    };
  });

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

/** The rig's own clips and links, ten seconds each. */
const pressProbes = (causes: readonly Hypothesis[]): HandProbe[] =>
  causes.flatMap((cause): HandProbe[] =>
    cause.probe.asks === undefined
      ? []
      : [
          {
            id: `press-${cause.id}`,
            of: cause.id,
            does: 'wiggle',
            state: 'thrown',
            costMin: COST_MIN.press,
            words: cause.probe.asks,
            ...known({ ifYes: cause.probe.ifYes }),
            marks: [],
            yes: (other) => (other.id === cause.id ? PRESSED : FELT_WRONGLY),
          },
        ],
  );

const felt = (chance: number): number => Math.max(FELT_WRONGLY, chance);
const wiggle: HandProbe = {
  id: 'wiggle-harness',
  does: 'wiggle',
  state: 'thrown',
  way: 'forward',
  costMin: COST_MIN.wiggle,
  words:
    'Throw each way and wiggle plugs and joints, hands clear of what moves: does the current come and go?',
  marks: [],
  yes: ({ dropouts }) => felt(dropouts.harness),
};
const tap: HandProbe = {
  ...wiggle,
  id: 'tap-motor',
  does: 'tap',
  costMin: COST_MIN.tap,
  words: 'Throw each way and tap the case of the motor: does the current come and go, or the motor start?',
  yes: ({ dropouts }) => felt(dropouts.motor),
};
