// What is suggested: the smallest on the list of parts that bears it, a person's own among them.

import { describe, expect, it } from 'vitest';
import { nominalInput } from '../../host/circuit/index.js';
import {
  type Build,
  type DeclaredCurrents,
  plannedCurrents,
  type RatingRow,
  ratingsOf,
} from '../../host/plan/index.js';
import { loadCircuit, loadParts, loadUnit, type Parts } from '../../host/profile/index.js';

const SHIPPED = loadParts();
const USUAL = { origin: 'generic', source: 'common practice, no source' } as const;

function rows(
  circuit: string,
  draws: DeclaredCurrents,
  own: Partial<Parts> = {},
  declared: Partial<Build> = {},
): RatingRow[] {
  const unit = { ...loadUnit('entry-step-relays'), style: loadCircuit(circuit) };
  const build: Build = {
    wire: { lengthM: 1.5, areaMm2: 2.5 },
    dropPercent: 3,
    nominalVoltageV: 12,
    ambientC: 20,
    duty: 'short',
    protector: { opensFromS: 4, opensToS: 90 },
    parts: { ...SHIPPED, ...own },
    ...declared,
  };
  const input = { ...nominalInput(unit), temperatureC: 20 };
  return ratingsOf(input, plannedCurrents(unit, 13, draws), build).rows;
}

const SWITCH = 'switch-carried-open-rest';
const PAIR = 'relay-pair-ground-thrown';
function found(all: readonly RatingRow[], kind: RatingRow['kind']): RatingRow {
  const row = all.find((each) => each.kind === kind);
  if (row === undefined) throw new Error(`no row ${kind}`);
  return row;
}
const titles = (all: readonly RatingRow[], kind: RatingRow['kind']): string[] =>
  (found(all, kind).suggested ?? []).map(({ title }) => title);

describe('the smallest of the shipped classes', () => {
  it.each([
    // Common practice, no source: rated above what the motor draws; 13 A take a 16 A switch.
    [13, 'switch of 16 A'],
    [15.9, 'switch of 16 A'],
    [16, 'switch of 20 A'],
    [29.9, 'switch of 30 A'],
  ])('for a motor of %s A is a %s', (runningA, title) => {
    expect(titles(rows(SWITCH, { runningA, heldA: 60 }), 'switch')).toEqual([title]);
  });

  it('is none beyond the largest, and that is said', () => {
    const row = found(rows(SWITCH, { runningA: 31, heldA: 60 }), 'switch');
    expect(row).not.toHaveProperty('suggested');
    expect(row.notes).toContain('no switch on the list of parts bears this.');
    const declared = rows(SWITCH, { runningA: 31, heldA: 60 }, {}, { switchA: 40 });
    expect(found(declared, 'switch').notes.join(' ')).not.toMatch(/list of parts/);
  });

  it('is one relay for both contacts: the weaker 87a decides', () => {
    // Published sheets: 25 and 10, 35 and 20, 40 and 30 A.
    const at = (runningA: number) => rows(PAIR, { runningA, startA: runningA + 1, heldA: 1.4 * runningA });
    for (const kind of ['make', 'break'] as const) {
      expect(titles(at(9.9), kind)).toEqual(['changeover relay of 25 A, 10 A on 87a']);
      expect(titles(at(10.1), kind)).toEqual(['changeover relay of 35 A, 20 A on 87a']);
      expect(titles(at(29.9), kind)).toEqual(['changeover relay of 40 A, 30 A on 87a']);
      expect(titles(at(30.1), kind)).toEqual([]);
    }
  });

  it('is the fuse, the wires in both measures, and the terminals that bear what the fuse lets through', () => {
    const all = rows(SWITCH, { runningA: 13, heldA: 30 });
    expect(found(all, 'feed')).toMatchObject({ needs: '15 A', suggested: [{ id: 'fuse-15-a' }] });
    expect(titles(all, 'wire')).toEqual(['wire of 1 mm²', 'wire AWG 18']);
    // 0.36 V at 13 A over 4 x 1.5 m and two jumpers of 0.1 m: 4.47 mOhm/m at the most; 4 mm2 has 4.95, 6 mm2 3.3
    // (IEC 60228 class 5).
    expect(titles(all, 'wire-drop')).toEqual(['wire of 6 mm²', 'wire AWG 10']);
    expect(found(all, 'wire').terminal?.title).toBe('flat terminal of 6.3 mm');
    const larger = rows(SWITCH, { runningA: 13, heldA: 30 }, {}, { fuseA: 25 });
    expect(found(larger, 'wire').terminal?.title).toBe('flat terminal of 9.5 mm');
    const none = rows(SWITCH, { runningA: 13, heldA: 30 }, {}, { fuseA: 35 });
    expect(found(none, 'wire')).not.toHaveProperty('terminal');
  });
});

describe("a person's own part", () => {
  const own = (numbers: Partial<Parts['switches'][number]>): Partial<Parts> => ({
    switches: [...SHIPPED.switches, { id: 'own', title: 'our rocker', carryA: 12, ...USUAL, ...numbers }],
  });
  const suggested = (numbers: Partial<Parts['switches'][number]>, runningA = 10.5) =>
    titles(rows(SWITCH, { runningA, startA: 25, heldA: 30 }, own(numbers)), 'switch');

  it('is suggested where it is the smallest, and before a shipped one of its size', () => {
    expect(suggested({})).toEqual(['our rocker']);
    expect(suggested({}, 12.1)).toEqual(['switch of 16 A']);
    expect(suggested({}, 9.9)).toEqual(['switch of 10 A']);
    expect(suggested({ carryA: 16 }, 13)).toEqual(['our rocker']);
  });

  it('is held to what it breaks of a motor, and makes at a start, where it says so', () => {
    expect(suggested({ inductiveA: 11 })).toEqual(['our rocker']);
    expect(suggested({ inductiveA: 6 })).toEqual(['switch of 16 A']);
    expect(suggested({ breakA: 10 })).toEqual(['switch of 16 A']);
    expect(suggested({ makeA: 26 })).toEqual(['our rocker']);
    expect(suggested({ makeA: 20 })).toEqual(['switch of 16 A']);
  });

  it('of fuse and wire counts with its own numbers', () => {
    const fuses = [...SHIPPED.fuses, { id: 'own', title: 'our fuse', ratedA: 14, ...USUAL }];
    const sheet = { ...USUAL, source: 'its sheet' };
    const wires = [
      ...SHIPPED.wires,
      { id: 'own', title: 'our wire', areaMm2: 2.5, carryA: 14, resistanceOhmPerM: 0.0076, ...sheet },
    ];
    const all = rows(SWITCH, { runningA: 13, heldA: 25 }, { fuses, wires });
    expect(found(all, 'feed')).toMatchObject({ needs: '14 A', suggested: [{ title: 'our fuse' }] });
    // The declared 2.5 mm² is the one on the list: 14 A by its sheet, and Ohm's law for 13 A over 6.2 m.
    expect(found(all, 'wire')).toMatchObject({ rated: 14, source: 'our wire: its sheet', bearing: 'bears' });
    expect(found(all, 'wire-drop').demand.most.runningA).toBeCloseTo(13 * 6.2 * 0.0076, 2);
  });

  it('of a relay widens what an unknown one may be', () => {
    const at = (relays: Parts['relays']) =>
      found(rows(PAIR, { runningA: 45, startA: 46, heldA: 60 }, { relays }), 'make');
    expect(at(SHIPPED.relays)).toMatchObject({ rated: 25, bearing: 'does-not-bear' });
    expect(at(SHIPPED.relays).source).toMatch(/^published sheets of plug-in relays say 25 to 40 A on 87:/);
    const big = { id: 'own', title: 'our relay', makeA: 70, breakA: 50, ...USUAL };
    expect(at([...SHIPPED.relays, big])).toMatchObject({
      bearing: 'not-known',
      suggested: [{ title: 'our relay' }],
    });
    expect(at([...SHIPPED.relays, big]).source).toMatch(
      /^relays on the list of parts have 25 to 70 A on 87:/,
    );
    // Nothing known of any relay: nothing certain.
    expect(at([]).bearing).toBe('not-known');
  });

  it('without 87a serves no circuit that has one', () => {
    const make = { id: 'own', title: 'our make relay', makeA: 30, ...USUAL };
    const relays = [...SHIPPED.relays, make];
    const draws = { runningA: 12, startA: 13, heldA: 17 };
    expect(titles(rows(PAIR, draws, { relays }), 'make')).toEqual(['changeover relay of 35 A, 20 A on 87a']);
    expect(titles(rows('single-relay', draws, { relays }), 'make')).toEqual(['our make relay']);
  });
});
