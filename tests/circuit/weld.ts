// A contact that welds while the circuit runs: the armature stays where it is, 30 on 87, and 87a open.

import type { Netlist, ScheduleEntry } from '../../host/circuit/index.js';

const IDEAL = { contactResistanceOhm: 0.005, closeDelayS: 0, openDelayS: 0 } as const;

/** @throws RangeError where the circuit has no such relay */
export function weldable(netlist: Netlist, relay: string): Netlist {
  const found = netlist.elements.find(({ id }) => id === relay);
  if (found?.kind !== 'relay') throw new RangeError(`${relay} is no relay`);
  const mark = (name: '30' | '87' | '87a'): string => found.terminals[name] ?? '';
  const kept = netlist.elements.map((element) =>
    element === found ? { ...found, terminals: { ...found.terminals, '87a': 'weld-87a' } } : element,
  );
  return {
    ...netlist,
    elements: [
      ...kept,
      { kind: 'contact', id: 'weld', a: mark('30'), b: mark('87'), closed: false, ...IDEAL },
      { kind: 'contact', id: 'weld-rest', a: 'weld-87a', b: mark('87a'), closed: true, ...IDEAL },
    ],
  };
}

export const weldsAt = (atS: number): ScheduleEntry[] => [
  {
    atS,
    settings: [
      { element: 'weld', state: 'closed' },
      { element: 'weld-rest', state: 'open' },
    ],
  },
];
