// An ammeter in front of everything that carries current: every contact, relay terminal, wire and fuse of a style. What
// each of them is called stands in the style; what it carries is for the solver to say.

import { type AppliedFault, elementWords, type FaultEdit, type Probe, placeNode } from '../circuit/index.js';
import type { CircuitStyle, StyleElement } from '../profile/index.js';

/** What kind of thing carries the current, and with it which rule it is held to. */
export type CarrierKind =
  | 'switch'
  | 'small-switch'
  | 'make'
  | 'break'
  | 'wire'
  | 'feed'
  | 'coil-feed'
  | 'fuse';

export interface Carrier {
  kind: CarrierKind;
  /** Element of the style; several carriers are contacts of one. */
  part: string;
  title: string;
  probe: Probe;
  /** Of a fuse that the style has itself. */
  ratedA?: number;
}

/** Small beside every contact and wire: a tenth of a milliohm. */
const AMMETER_OHM = 1e-4;
const NAME = 'ammeter';
const TRIGGERS = ['rig.throw-forward', 'rig.throw-reverse'] as const;

export interface Ammeters {
  carriers: readonly Carrier[];
  /** Puts them into the circuit. */
  fitted: AppliedFault;
}

/** Of what belongs to the unit; the rig's own parts are left out, but for the switch that it stands in for. */
export function ammetersOf(style: CircuitStyle): Ammeters {
  const edits: FaultEdit[] = [];
  const behind = (edit: FaultEdit): Probe => {
    edits.push(edit);
    return { kind: 'current', element: `${NAME}-${edits.length - 1}` };
  };
  const carriers = style.elements
    .filter(({ rigOwn }) => rigOwn === undefined)
    .flatMap((element) => carriersOf(element, behind));
  const through = (element: string): Probe => ({ kind: 'current', element });
  const triggers =
    style.thrownBy === 'trigger'
      ? TRIGGERS.map((id): Carrier => {
          const title = 'small switch of the relays';
          return { kind: 'small-switch', part: 'small-switch', title, probe: through(id) };
        })
      : [];
  const coilFeed: Carrier = {
    kind: 'coil-feed',
    part: 'coil-fuse',
    title: 'fuse of the coils',
    probe: through('rig.coil-shunt'),
  };
  const feed: Carrier = {
    kind: 'feed',
    part: 'feed-fuse',
    title: 'fuse of the feed',
    probe: through('rig.feed-shunt'),
  };
  return {
    carriers: [...triggers, ...carriers, feed, ...(triggers.length > 0 ? [coilFeed] : [])],
    fitted: { id: NAME, edits },
  };
}

function carriersOf(element: StyleElement, behind: (edit: FaultEdit) => Probe): Carrier[] {
  const { id: part } = element;
  const title = elementWords(element);
  switch (element.kind) {
    case 'switch':
      return element.poles.flatMap((pole) =>
        [...new Set(Object.values(pole.throws))].map((to): Carrier => {
          const at = { element: part, pole: pole.id, node: placeNode(to) };
          const probe = behind({ do: 'series-throw', ...at, resistanceOhm: AMMETER_OHM });
          return { kind: 'switch', part, title, probe };
        }),
      );
    case 'relay':
      return (['87', '87a'] as const).flatMap((terminal): Carrier[] => {
        if (element.terminals[terminal] === undefined) return [];
        const at = { element: part, terminal };
        const probe = behind({ do: 'series', at, resistanceOhm: AMMETER_OHM });
        return [
          {
            kind: terminal === '87' ? 'make' : 'break',
            part,
            title: `contact 30-${terminal} of ${title}`,
            probe,
          },
        ];
      });
    case 'wire':
      return [{ kind: 'wire', part, title, probe: { kind: 'current', element: part } }];
    case 'fuse': {
      const { ratedA } = element;
      return [{ kind: 'fuse', part, title, ratedA, probe: { kind: 'current', element: part } }];
    }
    default:
      return [];
  }
}
