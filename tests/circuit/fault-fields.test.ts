// What others learn of a fault stands in its fields: they agree with its words, its edits and the style it is made from.

import { readFileSync } from 'node:fs';
import { join } from 'node:path';
import { describe, expect, it } from 'vitest';
import {
  applyFault,
  buildUnitCircuit,
  CircuitError,
  createTransient,
  type Fault,
  faultsOf,
  furtherConditionsOf,
  joinedNodes,
  nominalInput,
  rigFaultsOf,
} from '../../host/circuit/index.js';
import { type CircuitStyle, loadCircuit, loadUnit, nodesOf, terminalsOf } from '../../host/profile/index.js';
import { codeOnly, listFiles, ROOT } from '../rules/source-tree.js';
import { readStyle, styleIds, workedInput } from './symptom-bench.js';

const all = (style: CircuitStyle): Fault[] => [
  ...faultsOf(style),
  ...faultsOf(style, 'load'),
  ...rigFaultsOf(style),
  ...furtherConditionsOf(style),
];
const PAIR = readStyle('relay-pair-ground-thrown');
const named = (style: CircuitStyle, id: string): Fault => {
  const fault = all(style).find((each) => each.id === id);
  if (fault === undefined) throw new Error(`no ${id}`);
  return fault;
};

describe.each([...styleIds(), 'relay-alone'])('faults of %s', (id) => {
  const style = loadCircuit(id);
  const faults = all(style);
  const elements = new Map(style.elements.map((element) => [element.id, element]));

  it('go through threads and JSON as they are', () => {
    expect(structuredClone(faults)).toEqual(faults);
    expect(JSON.parse(JSON.stringify(faults))).toEqual(faults);
  });

  it('are about parts that the style has, and name terminals that these have', () => {
    for (const { id: name, parts, marks, owner } of faults) {
      for (const { id: part, kind } of parts) {
        const element = elements.get(part);
        expect(kind === 'load' ? 'motor' : kind, name).toBe(element?.kind);
        expect(owner === 'rig', name).toBe(element?.rigOwn === true);
      }
      for (const { part, mark } of marks) {
        const element = elements.get(part);
        const marked = element === undefined ? [] : terminalsOf(element).map(([terminal]) => terminal);
        expect(
          marked.map((terminal) => terminal.replaceAll('-', ' ')),
          name,
        ).toContain(mark.replaceAll('-', ' '));
      }
    }
  });

  it('ask for a probe at places that the style has', () => {
    const nodes = new Set(['rig.ground', 'rig.feed', ...style.elements.flatMap(nodesOf)]);
    for (const { id: name, probe } of faults) {
      expect(
        probe.at.filter((node) => !nodes.has(node)),
        name,
      ).toEqual([]);
      const needsTwo = ['measure-drop', 'bridge'].includes(probe.does);
      if (needsTwo) expect(probe.at, name).toHaveLength(2);
    }
  });

  it('say their cause as a clause, and their sentence begins with it', () => {
    for (const { cause, sentence } of faults) {
      expect(cause).not.toMatch(/[.:]|^[A-Z][a-z]/);
      expect(sentence.toLowerCase().startsWith(cause.toLowerCase()), sentence).toBe(true);
      expect(sentence.charAt(cause.length)).toMatch(/[.:]/);
    }
  });

  it('show in the way that the style states, or in ways of their own', () => {
    for (const { id: name, edits, ways } of faults) {
      expect(ways.length, name).toBeGreaterThan(0);
      expect(ways, name).toContain(edits);
    }
  });
});

describe('a fault', () => {
  it('bears the id of its part and its own name, or one of two parts', () => {
    const single = all(PAIR).filter(({ parts }) => parts.length === 1);
    for (const { id, what, parts } of single) {
      if (what !== 'open' || parts[0]?.kind !== 'load') expect(id).toBe(`${parts[0]?.id}-${what}`);
    }
    expect(named(PAIR, 'motor-leads-exchanged').parts.map(({ id }) => id)).toEqual(['lead-a', 'lead-b']);
    expect(named(PAIR, 'k1-k2-87-87a-exchanged').parts.map(({ id }) => id)).toEqual(['k1', 'k2']);
  });

  it('of one relay is found at the other under the same name', () => {
    const of = (part: string) =>
      faultsOf(PAIR)
        .filter(({ parts }) => parts.length === 1 && parts[0]?.id === part)
        .map(({ what }) => what);
    expect(of('k1').length).toBeGreaterThan(15);
    expect(of('k2')).toEqual(of('k1'));
  });

  it.each([
    ['k2-86-coil-feed-open', 'open', [{ part: 'k2', mark: '86' }], 'bridge'],
    ['ground-resistance', 'resistance', [], 'measure-drop'],
    [
      'k1-coil-open',
      'open',
      [
        { part: 'k1', mark: '85' },
        { part: 'k1', mark: '86' },
      ],
      'measure-resistance',
    ],
    [
      'k1-make-welded',
      'welded',
      [
        { part: 'k1', mark: '30' },
        { part: 'k1', mark: '87' },
      ],
      'exchange',
    ],
    [
      'k1-30-86-exchanged',
      'exchanged',
      [
        { part: 'k1', mark: '30' },
        { part: 'k1', mark: '86' },
      ],
      'trace',
    ],
    [
      'k2-coil-24v',
      'wrong-part',
      [
        { part: 'k2', mark: '85' },
        { part: 'k2', mark: '86' },
      ],
      'measure-resistance',
    ],
    ['motor-rotor-locked', 'stuck', [], 'feel'],
  ])('%s is of kind %s', (id, kind, marks, does) => {
    const fault = named(PAIR, id);
    expect([fault.kind, fault.marks, fault.probe.does]).toEqual([kind, marks, does]);
  });

  it('is the motor’s, the load’s, the rig’s or the harness’s', () => {
    expect(named(PAIR, 'motor-open').owner).toBe('motor');
    expect(named(PAIR, 'load-open').owner).toBe('load');
    expect(named(PAIR, 'leads-bridged').owner).toBe('harness');
    expect(named(loadCircuit('motor-alone'), 'rig-feed-link-open').owner).toBe('rig');
    expect(faultsOf(PAIR, 'load').filter(({ owner }) => owner === 'motor')).toEqual([]);
  });

  it('is met oftener where hands err oftenest: an open coil three times as often, exchanged leads twice', () => {
    const weight = (id: string): number => named(PAIR, id).commonness;
    expect(['k1-coil-open', 'motor-leads-exchanged', 'k1-87-87a-exchanged', 'feed-open'].map(weight)).toEqual(
      [3, 2, 2, 2],
    );
    expect(['k1-four-pin', 'k2-make-burnt', 'k2-make-welded', 'lead-a-open'].map(weight)).toEqual([
      1.5, 1.5, 1, 1,
    ]);
    // On a bench for relays they are another lot.
    const alone = loadCircuit('relay-alone');
    expect(['k1-coil-open', 'k1-make-pitted', 'k1-30-open'].map((id) => named(alone, id).commonness)).toEqual(
      [2, 2, 1],
    );
  });

  it('comes in degrees where it is a resistance that grows: joints, burnt contacts, brushes', () => {
    const degrees = all(readStyle('switch-carried-open-rest')).filter(({ comesInDegrees }) => comesInDegrees);
    expect(degrees.map(({ what }) => what)).toContain('pole-1-a1-burnt');
    for (const { kind } of degrees) expect(['resistance', 'worn']).toContain(kind);
    expect(named(PAIR, 'ground-resistance').comesInDegrees).toBe(true);
    expect(named(PAIR, 'motor-brushes-worn').comesInDegrees).toBe(true);
    expect(named(PAIR, 'k1-coil-24v').comesInDegrees).toBe(false);
  });

  it('drops the current out with worn brushes at the motor, with a loose joint together with a lead', () => {
    expect(named(PAIR, 'motor-brushes-worn').dropouts).toEqual({ motor: 0.6 });
    expect(named(PAIR, 'joint-loose').dropouts).toEqual({ harness: 0.9 });
    expect(
      all(PAIR)
        .filter(({ unevenRipple }) => unevenRipple !== undefined)
        .map(({ id }) => id),
    ).toEqual(['motor-segment-bad']);
  });
});

describe('edits of a fault', () => {
  const unit = loadUnit('entry-step-relays');
  const { netlist } = buildUnitCircuit(nominalInput(unit));

  it('leave the netlist as it is, and what they add belongs to the part that has the fault', () => {
    const before = structuredClone(netlist);
    for (const fault of all(unit.style)) {
      const { elements } = applyFault(netlist, fault);
      for (const { id, partOf } of elements.slice(netlist.elements.length)) {
        // The bench's own mistakes are no part's.
        const owners = fault.parts.length > 0 ? fault.parts.map((part) => part.id) : [undefined];
        expect(owners, `${fault.id}: ${id}`).toContain(partOf);
      }
    }
    expect(netlist).toEqual(before);
  });

  it('of every way make a circuit that the solver takes, or refuses as a circuit', () => {
    for (const style of styleIds().map(readStyle)) {
      const input = workedInput(style);
      for (const fault of [...faultsOf(style), ...furtherConditionsOf(style)]) {
        for (const edits of fault.ways) {
          const built = buildUnitCircuit({ ...input, faults: [{ id: fault.id, edits }] });
          try {
            createTransient(built.netlist);
          } catch (error) {
            expect(error, fault.id).toBeInstanceOf(CircuitError);
          }
        }
      }
    }
  });

  it('exchange exactly the two terminals named', () => {
    const relay = (elements: typeof netlist.elements) => elements.find(({ id }) => id === 'k1');
    const [before, after] = [netlist, applyFault(netlist, named(unit.style, 'k1-30-87-exchanged'))].map(
      ({ elements }) => {
        const k1 = relay(elements);
        return k1 === undefined ? [] : joinedNodes(k1);
      },
    );
    // 30, 85, 86, 87, 87a in this order.
    expect(after).toEqual([before?.[3], before?.[1], before?.[2], before?.[0], before?.[4]]);
  });

  it.each([
    [{ do: 'series', at: { element: 'k9', terminal: '30' }, resistanceOhm: 1 }, /no element k9/],
    [{ do: 'series', at: { element: 'k1', terminal: '31' }, resistanceOhm: 1 }, /k1 has no terminal 31/],
    [{ do: 'scale', element: 'k1', factors: { coilVolts: 2 } }, /k1 has no number coilVolts/],
    [{ do: 'double-make', relay: 'motor' }, /motor is no relay/],
    [{ do: 'series-throw', element: 'k1', pole: 'p', node: 'n', resistanceOhm: 1 }, /k1 is no switch/],
  ] as const)('that name what is not there are refused: %j', (edit, message) => {
    expect(() => applyFault(netlist, { id: 'x', edits: [edit] })).toThrow(message);
  });
});

describe('whoever asks about a fault', () => {
  it('is given the same objects each time, so that asking costs nothing', () => {
    expect(faultsOf(PAIR)).toBe(faultsOf(PAIR));
    expect(faultsOf(PAIR, 'load')).not.toBe(faultsOf(PAIR));
    expect(faultsOf({ ...PAIR })).not.toBe(faultsOf(PAIR));
  });

  it('takes no id and no sentence apart in circuit, diagnosis and relay judging', () => {
    const breaches = ['host/circuit', 'host/diagnose', 'host/judge/relay', 'host/bench/training']
      .flatMap((folder) => listFiles(folder, (name) => name.endsWith('.ts')))
      .filter((path) =>
        /\.test\(\w*[iI]d\)|\b(?:id|fault|what)\.(?:startsWith|endsWith|match|slice|split|replace)\(|cause\.(?:replace|match)/.test(
          codeOnly(readFileSync(join(ROOT, path), 'utf8')),
        ),
      );
    expect(breaches).toEqual([]);
  });
});
