// What the bench itself does to a run: sense clips off or exchanged, a supply that sags. Nothing of it is the unit's, and
// a hand that hooks up thirty motors a day makes such a mistake oftener than a motor fails.

import type { CircuitStyle } from '../profile/index.js';
import { type AppliedFault, type Fault, type FaultKind, faultOf, type StatedFault } from './fault.js';
import { bridge, type FaultEdit, series, set } from './fault-edits.js';
import { FEED_FULL_CONTACT, SENSE_NODES, SUPPLY_SOURCE } from './unit-rig.js';

/** Against 1 for most faults, before the rig's own weight. Common practice, no source. */
const OFTEN = 5;
const SOMETIMES = 2;
/** A battery that is tired or leads that are thin: 0.1 to 0.5 Ohm; a sound one is below 0.05 (common practice, no source). */
const SAGGING_OHM = 0.3;
const CLIP_OHM = 0.01;

type Lead = 'a' | 'b';

/** The divider of one lead off the motor's terminal: it reads what `onto` has, or nothing. */
const sensedAt = (lead: Lead, onto?: Lead): FaultEdit[] => {
  const { motor, sense } = SENSE_NODES[lead];
  return [
    { do: 'land', at: { element: `${motor}-load`, terminal: 'a' }, node: sense },
    ...(onto === undefined ? [] : [bridge(sense, SENSE_NODES[onto].motor, CLIP_OHM)]),
  ];
};

const ofBench = (id: string, kind: FaultKind, stated: StatedFault): Fault => ({
  ...faultOf([], id, kind, stated),
  owner: 'rig',
});

/** Of every style; ids unique and permanent. */
export function benchFaults(style: CircuitStyle): Fault[] {
  const off = (lead: Lead): Fault =>
    ofBench(`sense-clip-${lead}-off`, 'open', {
      cause: `the sense clip of lead ${lead.toUpperCase()} is not on, or its wire is broken`,
      nextProbe: `Look at the sense clip of lead ${lead.toUpperCase()} at the motor's terminal, bite it on again and repeat.`,
      does: 'look',
      edits: sensedAt(lead),
      commonness: OFTEN,
    });
  return [
    off('a'),
    off('b'),
    ofBench('sense-clips-exchanged', 'exchanged', {
      cause: "the sense clips of lead A and lead B are on each other's terminal",
      nextProbe:
        'Follow the sense wires from the rig to the motor: A belongs on lead A. Exchange them and repeat.',
      does: 'look',
      edits: [...sensedAt('a', 'b'), ...sensedAt('b', 'a')],
      commonness: SOMETIMES,
    }),
    ofBench('supply-sags', 'resistance', {
      cause: 'the supply sags under the motor',
      because: 'a tired battery, thin leads, or a weak clip on its posts',
      nextProbe:
        "Measure at the battery's posts while it throws: what is lost between them and the rig is lost in leads and clips. Charge it, or take another, and repeat.",
      does: 'measure-voltage',
      edits: [set(SUPPLY_SOURCE, { sourceResistanceOhm: SAGGING_OHM })],
      further: [0.12, 0.2, 0.4, 0.5, 0.8].map((sourceResistanceOhm) => [
        set(SUPPLY_SOURCE, { sourceResistanceOhm }),
      ]),
      commonness: SOMETIMES,
      isOfSupply: true,
    }),
    ...fuseFaults(style),
  ];
}

/** By the mark on the sheets: what opens when it blows. */
const BLOWN: Record<'F1' | 'F3' | 'F4', readonly FaultEdit[]> = {
  F1: [set(SUPPLY_SOURCE, { voltageV: 0 })],
  F3: [series('rig.coil-fuse', 'a')],
  F4: [series(FEED_FULL_CONTACT, 'b'), series('rig.feed-limiter', 'b')],
};

/** The two that a run can meet: with F1 or F2 blown the stop loop is open, and nothing is armed. */
function fuseFaults({ thrownBy, elements }: CircuitStyle): Fault[] {
  const blown = (id: string, fuse: 'F3' | 'F4', of: string, nextProbe: string): Fault =>
    ofBench(id, 'open', {
      cause: `the rig's own fuse ${fuse} has blown, that of ${of}`,
      nextProbe,
      does: 'look',
      edits: BLOWN[fuse],
      rigPart: fuse,
    });
  return [
    blown(
      'rig-feed-fuse-open',
      'F4',
      "the unit's feed",
      'Supply off, look at F4 of the rig, the fuse in front of the FEED terminal; put in one of the same rating and repeat.',
    ),
    ...(thrownBy === 'trigger' && elements.some(({ kind }) => kind === 'relay')
      ? [
          blown(
            'rig-coil-fuse-open',
            'F3',
            'the coil feed',
            'Supply off, look at F3 of the rig, the fuse of its coil feed; put in one of the same rating and repeat.',
          ),
        ]
      : []),
  ];
}

/** The circuit with one fuse of the rig blown. */
export const blownFuse = (fuse: keyof typeof BLOWN): AppliedFault => ({
  id: `rig-fuse-${fuse.toLowerCase()}`,
  edits: BLOWN[fuse],
});
