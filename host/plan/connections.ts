// The wires of a build in the order in which they are made: short links first, the feed last, so that nothing is live
// while anything is still to be joined. What is whose follows from the style's own structure.

import { elementWords } from '../circuit/index.js';
import { type CircuitStyle, type ResolvedUnit, type StyleElement, terminalsOf } from '../profile/index.js';
import type { WireSize } from './conductors.js';

export const STAGES = ['links', 'leads', 'between', 'ground', 'coils', 'feed'] as const;
export type Stage = (typeof STAGES)[number];

/** How a wire ends: in a crimped terminal, or bare or ferruled under a screw. */
export type WireEnd = 'crimp' | 'screw';

export interface Connection {
  /** From 1, in the order of making; the rig's own wires come last. */
  number: number;
  /** Element of the style. */
  id: string;
  title: string;
  stage: Stage;
  /** Nodes of the style. */
  from: string;
  to: string;
  /** Letters of IEC 60757; absent where nobody told. */
  colour?: string;
  size: WireSize;
  lengthM: number;
  fromEnd: WireEnd;
  toEnd: WireEnd;
  isRigOwn: boolean;
}

type Wire = Extract<StyleElement, { kind: 'wire' }>;

/** @param colours by id of the wire, over those of the unit's profile */
export function connectionsOf(
  { unit, style }: Pick<ResolvedUnit, 'unit' | 'style'>,
  colours: Readonly<Record<string, string>> = {},
): Connection[] {
  const sides = { feed: reach(style, 'rig.feed'), ground: reach(style, 'rig.ground') };
  const wires = style.elements.filter((element) => element.kind === 'wire');
  const stageOf = (wire: Wire): Stage => {
    switch (wire.role) {
      case 'jumper':
        return 'links';
      case 'lead':
        return 'leads';
      case 'coil-feed':
      case 'trigger':
        return 'coils';
      case 'feed':
      case 'ground':
        return wire.role;
      default:
        if (sides.feed.has(wire.a)) return 'feed';
        return sides.ground.has(wire.a) ? 'ground' : 'between';
    }
  };
  const staged = wires.map((wire) => ({ wire, stage: stageOf(wire), isRigOwn: wire.rigOwn === true }));
  const ordered = staged.toSorted(
    (one, other) =>
      Number(one.isRigOwn) - Number(other.isRigOwn) ||
      STAGES.indexOf(one.stage) - STAGES.indexOf(other.stage) ||
      // Of the feed's wires the one from the source is the very last; of any other stage the style's order holds.
      (one.stage === 'feed' ? Number(one.wire.role === 'feed') - Number(other.wire.role === 'feed') : 0),
  );
  return ordered.map(({ wire, stage, isRigOwn }, i): Connection => {
    const told = unit.wires?.[wire.id];
    const colour = colours[wire.id] ?? told?.colour;
    const { lengthM = unit.wiring.lengthM, areaMm2, awg } = wire;
    const stated = areaMm2 === undefined && awg === undefined ? unit.wiring : wire;
    return {
      number: i + 1,
      id: wire.id,
      title: elementWords(wire),
      stage,
      from: wire.a,
      to: wire.b,
      ...(colour === undefined ? {} : { colour }),
      size: stated.areaMm2 === undefined ? { awg: stated.awg } : { areaMm2: stated.areaMm2 },
      lengthM,
      fromEnd: told?.a ?? usualEnd(style, wire.a),
      toEnd: told?.b ?? usualEnd(style, wire.b),
      isRigOwn,
    };
  });
}

/** Nodes that wires and fuses alone join to `from`, leads to the motor left out. */
function reach({ elements }: CircuitStyle, from: string): Set<string> {
  const found = new Set([from]);
  for (let again = true; again; ) {
    again = false;
    for (const element of elements) {
      if (element.kind !== 'wire' && element.kind !== 'fuse') continue;
      if (element.kind === 'wire' && element.role === 'lead') continue;
      const { a, b } = element;
      if (found.has(a) === found.has(b)) continue;
      found.add(a).add(b);
      again = true;
    }
  }
  return found;
}

/**
 * Blade terminals of relays and switches, plugs, fuse holders, splices and rings are crimped; what ends on a screw
 * terminal of an instrument or a bar is not. Common practice, no source: the unit's profile tells better.
 */
function usualEnd({ elements }: CircuitStyle, node: string): WireEnd {
  const isOnRig = elements.some(
    (element) => element.rigOwn === true && terminalsOf(element).some(([, at]) => at === node),
  );
  return isOnRig ? 'screw' : 'crimp';
}
