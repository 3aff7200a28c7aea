// The rig's own crocodile clips on the unit's feed and ground: on paint, on oxide, on a few strands. A hand clips on thirty
// units a day, and a clip that grips badly reads like a joint of the wire that it bites on, in the same path.

import type { CircuitStyle, StyleElement } from '../profile/index.js';
import { type Fault, faultOf } from './fault.js';
import { series } from './fault-edits.js';
import { CORRODED_OHM } from './fault-wires.js';
import { theWords } from './fault-words.js';

/** Against 1 for most faults, before the rig's own weight. Common practice, no source. */
const OFTEN = 5;

/** Clips of a unit that has wires of its own on the rig's posts; ids permanent. */
export function clipFaults(style: CircuitStyle): Fault[] {
  const way = style.polarity.forward === 'none' ? 'reverse' : 'forward';
  const [fed, returning] = style.polarity[way] === 'negative' ? ['lead B', 'lead A'] : ['lead A', 'lead B'];
  return [
    ...clipOn(style, { id: 'feed-clip-weak', post: 'rig.feed', way, watched: fed }),
    ...clipOn(style, { id: 'ground-clip-weak', post: 'rig.ground', way, watched: returning }),
  ];
}

/** A wire or fuse that carries the motor's current from or to the post. */
type Bitten = Extract<StyleElement, { kind: 'wire' | 'fuse' }>;

function clipOn(
  { elements }: CircuitStyle,
  { id, post, way, watched }: { id: string; post: string; way: string; watched: string },
): Fault[] {
  const bitten = elements.find(
    (element): element is Bitten =>
      (element.kind === 'fuse' || (element.kind === 'wire' && element.role !== 'coil-feed')) &&
      (element.a === post || element.b === post),
  );
  if (bitten === undefined) return [];
  const on = theWords(bitten);
  return [
    {
      ...faultOf([], id, 'resistance', {
        cause: `the rig's clip on ${on} grips badly`,
        nextProbe: `Throw ${way} and watch ${watched}: if it jumps when you press the rig's clip on ${on}, outputs off, move it to bare metal and repeat.`,
        does: 'press',
        asks: `Throw ${way} and watch ${watched}: does it jump when you press the rig's clip on ${on}?`,
        ifYes: 'outputs off, move it to bare metal and repeat',
        at: [post],
        edits: [series(bitten.id, bitten.a === post ? 'a' : 'b', CORRODED_OHM)],
        commonness: OFTEN,
        comesInDegrees: true,
        readsAsUnits: true,
      }),
      owner: 'rig',
    },
  ];
}
