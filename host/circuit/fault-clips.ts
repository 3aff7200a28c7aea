// The rig's own crocodile clips: on paint, on oxide, on a few strands. A hand clips on thirty units a day, and a clip that
// grips badly reads like a joint of the wire that it bites on, in the same path.

import type { CircuitStyle, StyleElement } from '../profile/index.js';
import { type Fault, faultOf, type StatedFault } from './fault.js';
import { series } from './fault-edits.js';
import { CORRODED_OHM } from './fault-wires.js';
import { theWords } from './fault-words.js';

/** Against 1 for most faults, before the rig's own weight. Common practice, no source. */
const OFTEN = 5;

type Wire = Extract<StyleElement, { kind: 'wire' }>;
/** What the rig's clip bites on: a wire or fuse that carries the motor's current from or to the post. */
type Bitten = Wire | Extract<StyleElement, { kind: 'fuse' }>;

/**
 * Clips on the feed and ground of a unit that has wires of its own on the rig's posts; ids permanent. No reading parts
 * them from a joint of those wires.
 */
export function clipFaults({ elements, polarity }: CircuitStyle): Fault[] {
  const way = polarity.forward === 'none' ? 'reverse' : 'forward';
  const [fed, returning] = polarity[way] === 'negative' ? ['lead B', 'lead A'] : ['lead A', 'lead B'];
  const onPost = (post: string): Bitten | undefined =>
    elements.find(
      (element): element is Bitten =>
        (element.kind === 'fuse' || (element.kind === 'wire' && element.role !== 'coil-feed')) &&
        (element.a === post || element.b === post),
    );
  const clip = (id: string, post: string, watched: string): Fault[] => {
    const bitten = onPost(post);
    if (bitten === undefined) return [];
    const end = bitten.a === post ? 'a' : 'b';
    return [
      weakClip(id, theWords(bitten), {
        ...{ way, watched, at: [post], readsAsUnits: true },
        edits: [series(bitten.id, end, CORRODED_OHM)],
      }),
    ];
  };
  return [...clip('feed-clip-weak', 'rig.feed', fed), ...clip('ground-clip-weak', 'rig.ground', returning)];
}

/**
 * Clips on the leads of a motor alone, between the rig's shunt and its sense wires: they read like the rig's own links of
 * these leads, and are met oftener.
 */
export function motorClipFaults({ elements, subject }: CircuitStyle): Fault[] {
  if (subject !== 'motor') return [];
  return (['a', 'b'] as const).flatMap((lead): Fault[] => {
    const end = `rig.lead-${lead}`;
    const link = elements.find((element): element is Wire => element.kind === 'wire' && element.b === end);
    if (link === undefined) return [];
    const words = `lead ${lead.toUpperCase()}`;
    const edits = [series(link.id, 'b', CORRODED_OHM)];
    return [weakClip(`lead-${lead}-clip-weak`, `motor ${words}`, { way: 'each way', watched: words, edits })];
  });
}

interface Clip extends Pick<StatedFault, 'edits' | 'at' | 'readsAsUnits'> {
  way: string;
  /** The reading that jumps. */
  watched: string;
}

const weakClip = (id: string, on: string, { way, watched, ...stated }: Clip): Fault => ({
  ...faultOf([], id, 'resistance', {
    cause: `the rig's clip on ${on} grips badly`,
    nextProbe: `Outputs off, press the rig's clip on ${on} home on bare metal and run again.`,
    does: 'press',
    asks: `Throw ${way} and watch ${watched}: does it jump when you press the rig's clip on ${on}?`,
    ifYes: 'outputs off, move it to bare metal and repeat',
    commonness: OFTEN,
    comesInDegrees: true,
    ...stated,
  }),
  owner: 'rig',
});
