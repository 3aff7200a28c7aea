// What a fault is: fields for whoever decides, words for whoever reads, edits for the solver. Nothing takes a name or a
// sentence apart; a fault goes through threads and JSON as it is.

import { known } from '../fields/index.js';
import type { StyleElement } from '../profile/index.js';
import { capitalised } from '../tell/index.js';
import type { FaultEdit } from './fault-edits.js';

/** What is the matter with the part; `none` of a good unit. */
export type FaultKind =
  | 'open'
  | 'resistance'
  | 'shorted'
  | 'welded'
  | 'stuck'
  | 'loose'
  /** Two wires or terminals in each other's place. */
  | 'exchanged'
  /** A wire's end on a terminal where it does not belong. */
  | 'misplaced'
  | 'wrong-part'
  /** Worn, bound, weak: out of its good values without being broken. */
  | 'worn'
  | 'none';

/** An element of the style, or the known load that hangs in the motor's place. */
export interface FaultPart {
  id: string;
  kind: StyleElement['kind'] | 'load';
}

/** What a person does with a part or between two places to confirm or clear a fault. */
export type ProbeAction =
  | 'measure-drop'
  | 'measure-voltage'
  | 'measure-resistance'
  | 'test-diode'
  | 'bridge'
  | 'disconnect'
  | 'exchange'
  | 'replace'
  | 'trace'
  | 'feel'
  | 'press'
  | 'look';

export interface FaultProbe {
  does: ProbeAction;
  /** Nodes of the style: none where a whole part is meant, one, or the two ends. */
  at: readonly string[];
  /** Of a press: the question whose yes confirms it, and what to do then. */
  asks?: string;
  ifYes?: string;
}

export interface Fault {
  /** kebab-case, permanent. */
  id: string;
  /** What it is about, the first before the one that it is confused with; none where any part may be meant. */
  parts: readonly FaultPart[];
  kind: FaultKind;
  /** Its name within the part, the same for every part of one kind: `coil-open`. */
  what: string;
  /** Terminals that it names, as marked on the part. */
  marks: readonly { part: string; mark: string }[];
  /** Whose it is: the harness with its switches and relays, the motor, a known load in its place, or the rig itself. */
  owner: 'harness' | 'motor' | 'load' | 'rig';
  /** Relative weight before anything was measured, 1 for most. Common practice, no source. */
  commonness: number;
  /** It comes at any strength up to the one stated. */
  comesInDegrees: boolean;
  /** What is wrong as a clause, naming terminal and lead. */
  cause: string;
  /** The cause as a sentence, explained where it needs that. */
  sentence: string;
  /** The one action that confirms or clears it. */
  nextProbe: string;
  probe: FaultProbe;
  /** Faults of one group lie in one unbranched path: no reading of the rig's tells them apart. */
  group?: string;
  /** At the strength at which the style states it. */
  edits: readonly FaultEdit[];
  /** The ways in which it may show, from slight to strong; what the style states is one of them. */
  ways: readonly (readonly FaultEdit[])[];
  /** Chance that the current drops out at least once in a throw: with the leads at their voltage, or together with it. */
  dropouts?: { motor?: number; harness?: number };
  /** Chance that the ripples of a turn are uneven, where it makes them so. */
  unevenRipple?: number;
  /** Of a part of the rig by its mark, which the rig's own self-test may have seen to work. */
  rigPart?: 'F3' | 'F4';
  /** The supply's own: where the supply was not sampled, it is asked before anything of the unit. */
  isOfSupply?: true;
  /** Of the rig, in one path with a joint of the unit: no reading parts the two, only a press and another run. */
  readsAsUnits?: true;
  /** Goes by itself: nothing of the unit is to be repaired. */
  isPassing?: true;
  /** Shows only where a person throws the unit's own switch. */
  byHandOnly?: true;
  /** The motor does not turn at all. */
  stands?: true;
  /** Which way it moves the motor's own numbers, as far as a motor of another size would read the same. */
  moves?: MotorMoves;
}

export interface MotorMoves {
  resistance?: 'up' | 'down';
  /** As a current: more friction, or less torque from each ampere. */
  friction?: 'up' | 'down';
}

/** What of a fault a circuit is built with; `parts` tell whose the elements are that it adds. */
export type AppliedFault = Pick<Fault, 'id' | 'edits'> & Partial<Pick<Fault, 'parts'>>;

/** What the maker of a fault states; the rest follows from its part. */
export interface StatedFault
  extends Pick<Fault, 'cause' | 'nextProbe' | 'edits'>,
    Partial<
      Pick<
        Fault,
        | 'id'
        | 'marks'
        | 'commonness'
        | 'comesInDegrees'
        | 'dropouts'
        | 'unevenRipple'
        | 'moves'
        | 'rigPart'
        | 'isOfSupply'
        | 'isPassing'
        | 'readsAsUnits'
        | 'stands'
        | 'byHandOnly'
      >
    > {
  /** Ways in which it may show beside the one that the style states. */
  further?: Fault['ways'];
  /** Explains the cause in the sentence. */
  because?: string;
  does: ProbeAction;
  asks?: string;
  ifYes?: string;
  at?: readonly string[];
}

type OwnedPart = FaultPart & { rigOwn?: true | undefined };

/** A fault of the first of `parts`, which gives it id and owner. */
export function faultOf(
  parts: readonly OwnedPart[],
  what: string,
  kind: FaultKind,
  { because, does, asks, ifYes, at = [], further = [], ...stated }: StatedFault,
): Fault {
  const [part] = parts;
  return {
    id: part === undefined ? what : `${part.id}-${what}`,
    parts: parts.map((each) => ({ id: each.id, kind: each.kind })),
    kind,
    what,
    marks: [],
    owner: part?.rigOwn ? 'rig' : part?.kind === 'motor' || part?.kind === 'load' ? part.kind : 'harness',
    commonness: 1,
    comesInDegrees: false,
    sentence: `${capitalised(stated.cause)}${because === undefined ? '' : `: ${because}`}.`,
    probe: { does, at, ...known({ asks, ifYes }) },
    ways: [stated.edits, ...further],
    ...stated,
  };
}
