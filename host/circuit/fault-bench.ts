// What the bench itself does to a run: sense clips off or exchanged, a supply that sags. Nothing of it is the unit's, and
// a hand that hooks up thirty motors a day makes such a mistake oftener than a motor fails.

import { type Fault, type FaultKind, faultOf, type StatedFault } from './fault.js';
import { bridge, type FaultEdit, set } from './fault-edits.js';
import { SENSE_NODES, SUPPLY_SOURCE } from './unit-rig.js';

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
export function benchFaults(): Fault[] {
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
      further: [0.12, 0.2, 0.5, 0.8].map((sourceResistanceOhm) => [
        set(SUPPLY_SOURCE, { sourceResistanceOhm }),
      ]),
      commonness: SOMETIMES,
    }),
  ];
}
