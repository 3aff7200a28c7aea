// What is asked of a circuit, and how each reading is called. The meters are stand-ins that read other numbers everywhere, so
// that no reading can pass for another.

import { afterAll, beforeEach, describe, expect, it, vi } from 'vitest';
import {
  buildUnitCircuit,
  GROUND,
  nominalInput,
  type Probe,
  placeNode,
  type UnitCircuit,
} from '../../../host/circuit/index.js';
import { CircuitsInPieces, probeMenu } from '../../../host/diagnose/index.js';
import * as meter from '../../../host/diagnose/probing/meter.js';
import type { ProbeAnswer } from '../../../host/diagnose/probing/probe.js';
import type { ResolvedUnit } from '../../../host/profile/index.js';
import { shipped } from '../../judge/handmade.js';

// Put in place while these tests run, and taken away behind them: files share their modules.
const STAND_INS = [
  vi.spyOn(meter, 'throwLevels'),
  vi.spyOn(meter, 'ohms'),
  vi.spyOn(meter, 'driven'),
  vi.spyOn(meter, 'held'),
];
afterAll(() => {
  for (const one of STAND_INS) one.mockRestore();
});
const levels = vi.mocked(meter.throwLevels);
const ohms = vi.mocked(meter.ohms);
const driven = vi.mocked(meter.driven);
const held = vi.mocked(meter.held);

const RELAYS = shipped('entry-step-relays');
const SWITCH = shipped('window-lift-switch');
const CHANNELS = {
  ...{ leadAVoltageV: 1, leadBVoltageV: 2, motorCurrentA: 3, feedCurrentA: 4 },
  ...{ supplyVoltageV: 5, coilCurrentA: 6 },
};
const shifted = (by: number, extra: Readonly<Record<string, Probe>>): Record<string, number> => ({
  ...Object.fromEntries(Object.entries(CHANNELS).map(([name, value]) => [name, value + by])),
  ...Object.fromEntries(Object.keys(extra).map((name, i) => [name, 50 + i + by])),
});
/** Forward from 10, reverse from 20, at rest from 30 and 40. */
let limited: readonly string[] = [];
beforeEach(() => {
  for (const one of STAND_INS) one.mockReset();
  limited = [];
  levels.mockImplementation((_, way, __, extra = {}) => ({
    rest: shifted(way === 'forward' ? 30 : 40, extra),
    thrown: shifted(way === 'forward' ? 10 : 20, extra),
    peakA: way === 'forward' ? 98 : 99,
    limited: limited.includes(way),
  }));
  ohms.mockImplementation((_, plus) => plus.length);
  driven.mockReturnValue({ voltageV: 12, currentA: 3.5, peakA: 9.5 });
});

const circuitsOf = (unit: ResolvedUnit): CircuitsInPieces =>
  new CircuitsInPieces(unit, [], (faults) => buildUnitCircuit({ ...nominalInput(unit), faults }));
const ask = (unit: ResolvedUnit, id: string, circuits = circuitsOf(unit)): ProbeAnswer => {
  const choice = probeMenu(unit).find((one) => one.id === id);
  if (choice === undefined) throw new Error(`no ${id} on the menu`);
  return choice.ask(circuits);
};
const told = ({ readings }: ProbeAnswer): string[] =>
  readings.map(({ label, value, unit }) => `${label}: ${value} ${unit}`);
const circuitAsked = (): UnitCircuit | undefined => levels.mock.lastCall?.[0];

describe('the menu', () => {
  it('of a relay pair begins with what needs no tool but a meter, and ends with a battery', () => {
    const ids = probeMenu(RELAYS).map(({ id }) => id);
    expect(ids.slice(0, 7)).toEqual([
      'leads-at-rest',
      'leads-forward',
      'leads-reverse',
      'current-forward',
      'current-reverse',
      'supply',
      'coil-current',
    ]);
    expect(ids.slice(-5)).toEqual([
      'exchange-relays',
      'unplug',
      'leads-to-ground-ohm',
      'lead-to-lead-ohm',
      'motor-on-battery',
    ]);
    expect(ids).toEqual(expect.arrayContaining(['socket-k1', 'coil-k1', 'socket-k2', 'coil-k2']));
    expect(new Set(ids).size).toBe(ids.length);
  });
  it('of a switch has nothing of relays', () => {
    const ids = probeMenu(SWITCH).map(({ id }) => id);
    expect(ids.filter((id) => /coil|socket|exchange/.test(id))).toEqual([]);
    expect(ids).toContain('contacts-switch');
  });
  it('speaks of a load where one hangs in the motor’s place', () => {
    const questions = probeMenu(shipped('relay-pair-harness-load')).map(({ question }) => question);
    expect(questions).toContain(
      'Outputs off, unplug the load: lead A and lead B of the harness, thrown each way',
    );
    expect(questions.join()).not.toContain('the motor');
  });
  it('asks in words', () => {
    const questions = Object.fromEntries(probeMenu(RELAYS).map(({ id, question }) => [id, question]));
    expect(questions).toMatchObject({
      'leads-at-rest': 'Lead A and lead B to ground at rest, feed on',
      'leads-forward': 'Lead A and lead B to ground, thrown forward, under load',
      'current-reverse': 'Clamp on lead A and on the feed, thrown reverse',
      supply: 'Supply at the rig, at rest and thrown each way',
      'coil-current': 'Coil current at rest and thrown each way',
      'exchange-relays': 'Outputs off, exchange K1 and K2, then throw each way',
      unplug: 'Outputs off, unplug the motor: lead A and lead B of the harness, thrown each way',
      'leads-to-ground-ohm': 'Supply off, unplug the motor: lead A and lead B of the harness, each to ground',
      'lead-to-lead-ohm': 'Outputs off, unplug the motor: its resistance lead to lead, and to its case',
      'motor-on-battery': 'Unplug the motor and run it straight off a fused battery',
      'socket-k1': 'Terminals of K1 to ground, thrown each way',
      'coil-k2': 'Outputs off, pull K2: its coil, and 30 to 87a and to 87 with the coil off',
    });
  });
});

describe('readings of the whole circuit', () => {
  it.each<[string, string[]]>([
    ['leads-at-rest', ['Lead A at rest: 31 V', 'Lead B at rest: 32 V', 'Feed current at rest: 34 A']],
    ['leads-forward', ['Lead A, forward: 11 V', 'Lead B, forward: 12 V']],
    ['leads-reverse', ['Lead A, reverse: 21 V', 'Lead B, reverse: 22 V']],
    [
      'current-forward',
      [
        'Highest current of the start, forward: 98 A',
        'Motor current, forward: 13 A',
        'Feed current, forward: 14 A',
      ],
    ],
    [
      'current-reverse',
      [
        'Highest current of the start, reverse: 99 A',
        'Motor current, reverse: 23 A',
        'Feed current, reverse: 24 A',
      ],
    ],
    ['supply', ['Supply at rest: 35 V', 'Supply, forward: 15 V', 'Supply, reverse: 25 V']],
    [
      'coil-current',
      ['Coil current at rest: 36 A', 'Coil current, forward: 16 A', 'Coil current, reverse: 26 A'],
    ],
  ])('%s', (id, wanted) => {
    const circuits = circuitsOf(RELAYS);
    expect(told(ask(RELAYS, id, circuits))).toEqual(wanted);
    expect(circuitAsked()).toBe(circuits.whole());
    expect(levels.mock.lastCall?.[2]).toBe(RELAYS.rig.trip);
  });

  it('say so where the full feed trips the rig, in any throw', () => {
    expect(ask(RELAYS, 'supply')).not.toHaveProperty('note');
    limited = ['reverse'];
    expect(ask(RELAYS, 'supply').note).toBe('Through the limited feed: the full one trips the rig.');
    expect(ask(RELAYS, 'leads-forward')).not.toHaveProperty('note');
  });
});

describe('readings along the parts', () => {
  it('of wires are drops from end to end, each way, called by their title', () => {
    const wires = RELAYS.style.elements.flatMap((element) =>
      element.kind === 'wire' && (element.role === 'feed' || element.role === 'ground') ? [element] : [],
    );
    expect(wires.length).toBeGreaterThan(1);
    const drops = probeMenu(RELAYS).filter(({ id }) => id.startsWith('drop-'));
    expect(drops.map(({ id }) => id)).toEqual(wires.map(({ id }) => `drop-${id}`));
    for (const { id, a, b, title = id } of wires) {
      expect(told(ask(RELAYS, `drop-${id}`))).toEqual([
        `Along ${title}, forward: 60 V`,
        `Along ${title}, reverse: 70 V`,
      ]);
      expect(levels.mock.lastCall?.[3]).toEqual({
        drop: { kind: 'voltage', plus: placeNode(a), minus: placeNode(b) },
      });
    }
  });

  it('of a switch are across what is closed in each position', () => {
    const readings = told(ask(SWITCH, 'contacts-switch'));
    expect(readings).toEqual([
      'c1 of the switch to a1 of the switch, forward: 60 V',
      'c2 of the switch to a2 of the switch, forward: 61 V',
      'c1 of the switch to b1 of the switch, reverse: 70 V',
      'c2 of the switch to b2 of the switch, reverse: 71 V',
    ]);
    const question = probeMenu(SWITCH).find(({ id }) => id === 'contacts-switch')?.question;
    expect(question).toBe('Across the closed contacts of the switch, thrown each way');
  });

  it('of a relay’s socket are each terminal to ground, each way', () => {
    const readings = ask(RELAYS, 'socket-k1').readings;
    const relay = RELAYS.style.elements.find(({ id }) => id === 'k1');
    const terminals = relay?.kind === 'relay' ? Object.keys(relay.terminals) : [];
    expect(terminals.length).toBeGreaterThan(3);
    expect(readings.map(({ label }) => label)).toEqual(
      ['forward', 'reverse'].flatMap((way) => terminals.map((terminal) => `${terminal} of K1, ${way}`)),
    );
    expect(readings.map(({ value }) => value)).toEqual([
      ...terminals.map((_, i) => 60 + i),
      ...terminals.map((_, i) => 70 + i),
    ]);
    const probes = levels.mock.lastCall?.[3] ?? {};
    for (const terminal of terminals) {
      const node =
        relay?.kind === 'relay' ? Object.entries(relay.terminals).find(([t]) => t === terminal)?.[1] : '';
      expect(probes[terminal]).toEqual({ kind: 'voltage', plus: placeNode(node ?? '') });
    }
  });

  it('of a pulled relay are its coil and its contacts, of what it has', () => {
    ohms.mockReturnValueOnce(85).mockReturnValueOnce(0.1).mockReturnValueOnce(Number.POSITIVE_INFINITY);
    const circuits = circuitsOf(RELAYS);
    expect(told(ask(RELAYS, 'coil-k1', circuits))).toEqual([
      '86 to 85 of K1: 85 Ohm',
      '30 to 87a of K1: 0.1 Ohm',
      '30 to 87 of K1: Infinity Ohm',
    ]);
    const { netlist, terminals } = circuits.relayAlone('k1');
    expect(ohms.mock.calls).toEqual([
      [netlist, terminals['86'], terminals['85']],
      [netlist, terminals['30'], terminals['87a']],
      [netlist, terminals['30'], terminals['87']],
    ]);
    const circuitsWithout = circuitsOf(RELAYS);
    const { '87a': _, ...some } = terminals;
    vi.spyOn(circuitsWithout, 'relayAlone').mockReturnValue({ netlist, terminals: some });
    expect(ask(RELAYS, 'coil-k1', circuitsWithout).readings.map(({ label }) => label)).toEqual([
      '86 to 85 of K1',
      '30 to 87 of K1',
    ]);
  });
});

describe('readings of what is taken apart', () => {
  it('of exchanged relays are leads and current, each way', () => {
    const circuits = circuitsOf(RELAYS);
    const exchanged = vi.spyOn(circuits, 'exchanged');
    expect(told(ask(RELAYS, 'exchange-relays', circuits))).toEqual([
      'Lead A, forward: 11 V',
      'Lead B, forward: 12 V',
      'Motor current, forward: 13 A',
      'Lead A, reverse: 21 V',
      'Lead B, reverse: 22 V',
      'Motor current, reverse: 23 A',
    ]);
    expect(exchanged).toHaveBeenCalledWith('k1', 'k2');
  });
  it('of an unplugged harness are its leads, each way', () => {
    const circuits = circuitsOf(RELAYS);
    const unplugged = vi.spyOn(circuits, 'unplugged');
    expect(told(ask(RELAYS, 'unplug', circuits))).toEqual([
      'Lead A, forward: 11 V',
      'Lead B, forward: 12 V',
      'Lead A, reverse: 21 V',
      'Lead B, reverse: 22 V',
    ]);
    expect(circuitAsked()).toBe(unplugged.mock.results[0]?.value);
  });
  it('of a dead harness are its leads to ground, without the supply', () => {
    ohms.mockReturnValueOnce(7).mockReturnValueOnce(8);
    expect(told(ask(RELAYS, 'leads-to-ground-ohm'))).toEqual([
      'Lead A to ground: 7 Ohm',
      'Lead B to ground: 8 Ohm',
    ]);
    expect(ohms.mock.calls.map(([, plus, minus]) => [plus, minus])).toEqual([
      ['rig.motor-a', GROUND],
      ['rig.motor-b', GROUND],
    ]);
    const kinds = ohms.mock.calls[0]?.[0].elements.map(({ kind }) => kind);
    expect(kinds).not.toContain('supply');
    expect(kinds).toContain('relay');
  });
  it('of the motor are its resistance with the rotor held, lead to lead and to the case', () => {
    const still = { elements: [] };
    held.mockReturnValue(still);
    ohms.mockReturnValueOnce(1.5).mockReturnValueOnce(1e9);
    const circuits = circuitsOf(RELAYS);
    expect(told(ask(RELAYS, 'lead-to-lead-ohm', circuits))).toEqual([
      'Lead to lead of the motor: 1.5 Ohm',
      'Lead A of the motor to its case: 1000000000 Ohm',
    ]);
    expect(held).toHaveBeenCalledWith(circuits.motorAlone().netlist, 'motor');
    expect(ohms.mock.calls).toEqual([
      [still, 'rig.motor-a', 'rig.motor-b'],
      [still, 'rig.motor-a', GROUND],
    ]);
  });
  it('of the motor on a battery are its start and its running current', () => {
    expect(told(ask(RELAYS, 'motor-on-battery'))).toEqual([
      'Start of the motor alone: 9.5 A',
      'The motor alone, running: 3.5 A',
    ]);
    expect(driven.mock.lastCall?.slice(1)).toEqual([
      'rig.motor-a',
      'rig.motor-b',
      { voltageV: 12.6, ohm: 0.05, untilS: 0.8 },
    ]);
  });
});
