// A circuit taken apart: what is in each piece, and which fault goes along with which part.

import { describe, expect, it, vi } from 'vitest';
import {
  buildUnitCircuit,
  type Fault,
  faultsOfUnit,
  nominalInput,
  type UnitCircuit,
} from '../../../host/circuit/index.js';
import { CircuitsInPieces } from '../../../host/diagnose/index.js';
import { loadUnit, type ResolvedUnit } from '../../../host/profile/index.js';
import { shipped } from '../../judge/handmade.js';

const UNIT = shipped('entry-step-relays');
const faultNamed = (id: string, unit = UNIT): Fault => {
  const fault = faultsOfUnit(unit).find((one) => one.id === id);
  if (fault === undefined) throw new Error(`no fault ${id}`);
  return fault;
};
/** What is built, by the ids of the faults in it. */
function taken(ids: readonly string[], unit: ResolvedUnit = UNIT) {
  const good = nominalInput(unit);
  const build = vi.fn((faults: readonly Fault[]): UnitCircuit => buildUnitCircuit({ ...good, faults }));
  const circuits = new CircuitsInPieces(
    unit,
    ids.map((id) => faultNamed(id, unit)),
    build,
  );
  return { circuits, faultsIn: () => build.mock.lastCall?.[0].map(({ id }) => id), build };
}
const idsOf = ({ elements }: { elements: readonly { id: string }[] }): string[] =>
  elements.map(({ id }) => id).filter((id) => !id.startsWith('leak '));
const leaksOf = ({ elements }: { elements: readonly { id: string }[] }): string[] =>
  elements.map(({ id }) => id).filter((id) => id.startsWith('leak '));

describe('the whole circuit', () => {
  it('has all the faults in it, and is built once', () => {
    const { circuits, faultsIn, build } = taken(['k1-coil-open', 'motor-open']);
    expect(circuits.whole()).toBe(circuits.whole());
    expect(faultsIn()).toEqual(['k1-coil-open', 'motor-open']);
    expect(build).toHaveBeenCalledTimes(1);
  });
});

describe('exchanged relays', () => {
  const exchanged = (...ids: string[]): string[] | undefined => {
    const { circuits, faultsIn } = taken(ids);
    circuits.exchanged('k1', 'k2');
    return faultsIn();
  };
  it('take along what is wrong in their bodies, either way', () => {
    expect(exchanged('k1-coil-open')).toEqual(['k2-coil-open']);
    expect(exchanged('k2-make-welded')).toEqual(['k1-make-welded']);
    expect(exchanged('k1-coil-open', 'k2-make-welded')).toEqual(['k2-coil-open', 'k1-make-welded']);
  });
  it('leave what is wrong with sockets, wires and motor', () => {
    expect(exchanged('k1-87-87a-exchanged', 'ground-open', 'motor-open')).toEqual([
      'k1-87-87a-exchanged',
      'ground-open',
      'motor-open',
    ]);
  });
  it('take a fault along at the strength at which it is', () => {
    const burnt = faultNamed('k1-make-burnt');
    const [from, to] = [burnt, faultNamed('k2-make-burnt')];
    expect(from.ways.length).toBe(to.ways.length);
    from.ways.forEach((edits, i) => {
      const build = vi.fn((faults: readonly Fault[]) => buildUnitCircuit({ ...nominalInput(UNIT), faults }));
      new CircuitsInPieces(UNIT, [{ ...from, edits }], build).exchanged('k1', 'k2');
      expect(build.mock.lastCall?.[0][0]?.edits).toBe(to.ways[i]);
    });
    const build = vi.fn((faults: readonly Fault[]) => buildUnitCircuit({ ...nominalInput(UNIT), faults }));
    new CircuitsInPieces(UNIT, [{ ...from, edits: [...from.edits] }], build).exchanged('k1', 'k2');
    expect(build.mock.lastCall?.[0][0]?.edits).toBe(to.edits);
  });
  it('leave a fault that the other place cannot have', () => {
    const odd = { ...faultNamed('k1-coil-open'), id: 'k1-odd', what: 'odd' };
    const build = vi.fn((faults: readonly Fault[]) => buildUnitCircuit({ ...nominalInput(UNIT), faults }));
    new CircuitsInPieces(UNIT, [odd], build).exchanged('k1', 'k2');
    expect(build.mock.lastCall?.[0]).toEqual([odd]);
  });
});

describe('an unplugged motor', () => {
  it('leaves its plug open, and takes along what is wrong inside it', () => {
    const { circuits, faultsIn } = taken(['motor-open', 'ground-open']);
    const { netlist, motorId } = circuits.unplugged();
    expect(motorId).toBe('motor');
    expect(faultsIn()).toEqual(['ground-open']);
    expect(netlist.elements.find(({ id }) => id === 'motor')).toEqual({
      kind: 'resistor',
      id: 'motor',
      a: 'rig.motor-a',
      b: 'rig.motor-b',
      resistanceOhm: 1e9,
    });
    expect(netlist.elements.filter(({ partOf }) => partOf === 'motor')).toEqual([]);
    const whole = circuits.whole().netlist;
    expect(idsOf(netlist)).toEqual(
      whole.elements.filter(({ partOf }) => partOf !== 'motor').map(({ id }) => id),
    );
  });
  it('leaves every node but ground with a leak of a gigaohm to it', () => {
    const { netlist } = taken([]).circuits.unplugged();
    const leaks = leaksOf(netlist);
    expect(leaks).toContain('leak rig.motor-a');
    expect(leaks).not.toContain('leak ground');
    expect(new Set(leaks).size).toBe(leaks.length);
    for (const element of netlist.elements.filter(({ id }) => id.startsWith('leak '))) {
      expect(element).toEqual({
        ...{ kind: 'resistor', id: element.id, a: element.id.slice('leak '.length), b: 'ground' },
        resistanceOhm: 1e9,
      });
    }
  });
  it('takes a load along as it does a motor', () => {
    const { circuits, faultsIn } = taken(['load-open', 'ground-open'], shipped('relay-pair-harness-load'));
    circuits.unplugged();
    expect(faultsIn()).toEqual(['ground-open']);
  });
});

describe('the motor by itself', () => {
  it('is all of it and nothing else, with what is wrong inside it', () => {
    const { circuits, faultsIn } = taken(['motor-open', 'ground-open', 'k1-coil-open']);
    const { netlist, a, b, motorId } = circuits.motorAlone();
    expect([a, b, motorId]).toEqual(['rig.motor-a', 'rig.motor-b', 'motor']);
    expect(faultsIn()).toEqual(['motor-open']);
    const parts = netlist.elements.filter(({ id }) => !id.startsWith('leak '));
    expect(parts.length).toBeGreaterThan(0);
    expect(parts.every(({ id, partOf }) => id === 'motor' || partOf === 'motor')).toBe(true);
    expect(parts.map(({ id }) => id)).toContain('motor');
    expect(leaksOf(netlist)).toEqual(expect.arrayContaining(['leak rig.motor-a', 'leak rig.motor-b']));
  });
});

describe('a relay out of its socket', () => {
  it('is all of it, with what is wrong in its body and not in its socket', () => {
    const { circuits, faultsIn } = taken([
      'k1-coil-open',
      'k2-make-welded',
      'k1-87-87a-exchanged',
      'ground-open',
    ]);
    const { netlist, terminals } = circuits.relayAlone('k1');
    expect(faultsIn()).toEqual(['k1-coil-open']);
    expect(terminals).toEqual({
      '30': 'k1-30',
      '85': 'k1-85',
      '86': 'k1-86',
      '87': 'k1-87',
      '87a': 'k1-87a',
    });
    const parts = netlist.elements.filter(({ id }) => !id.startsWith('leak '));
    expect(parts.map(({ id }) => id)).toContain('k1');
    expect(parts.every(({ id, partOf }) => id === 'k1' || partOf === 'k1')).toBe(true);
  });
  it('that is not there has no terminals', () => {
    expect(taken([]).circuits.relayAlone('k9').terminals).toEqual({});
  });
});

it('what the motor’s travel opens stays closed while it does not travel', () => {
  const unit = loadUnit('entry-step-relays', undefined, { circuit: 'limit-actuator-relay-pair' });
  const limits = unit.style.elements.filter(({ kind }) => kind === 'limit').map(({ id }) => id);
  expect(limits.length).toBeGreaterThan(0);
  const { netlist } = taken([], unit).circuits.unplugged();
  for (const id of limits) {
    const whole = taken([], unit)
      .circuits.whole()
      .netlist.elements.find((element) => element.id === id);
    expect(netlist.elements.find((element) => element.id === id)).toEqual({
      ...{
        kind: 'resistor',
        id,
        a: whole && 'a' in whole ? whole.a : '',
        b: whole && 'b' in whole ? whole.b : '',
      },
      resistanceOhm: whole?.kind === 'limit' ? whole.contactResistanceOhm : Number.NaN,
    });
  }
});
