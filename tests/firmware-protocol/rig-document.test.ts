// RIG.md against what it speaks of: firmware pins, the rig's profile, the styles, the schematic, and its own arithmetic.

import { existsSync, readdirSync, readFileSync } from 'node:fs';
import { join } from 'node:path';
import { describe, expect, it } from 'vitest';
import { parse } from 'yaml';
import { drawFolder } from '../../firmware-protocol/schematic/draw.js';
import { parseSheet } from '../../firmware-protocol/schematic/parse.js';
import { CHANNEL, CHANNELS } from '../../host/capture/index.js';
import { ROOT } from '../rules/source-tree.js';

const read = (path: string): string => readFileSync(join(ROOT, path), 'utf8');
const document = read('firmware-protocol/RIG.md');
const rig = parse(read('profiles/rigs/reference-rig.yaml')) as {
  scales: Record<string, { atZeroCount: number; perCount: number }>;
  fineScales: { motorCurrentA: { atZeroCount: number; perCount: number } };
  leadLoadOhm: number;
  leadClampV: number;
  limitedFeedOhm: number;
  limitedCoilFeedOhm: number;
  trip: { motorCurrentA: number; feedCurrentA: number };
};
const sheets = drawFolder().map(({ text }) => parseSheet(text));
const parts = new Map(sheets.flatMap((sheet) => [...sheet.parts]));

/** Rows of every table whose first heading is `heading`, cells trimmed. */
function rows(heading: string, within: string = document): string[][] {
  const found: string[][] = [];
  let inTable = false;
  for (const line of within.split('\n')) {
    const cells = line
      .split('|')
      .slice(1, -1)
      .map((cell) => cell.trim());
    if (cells.length === 0) inTable = false;
    else if (cells[0] === heading) inTable = true;
    else if (inTable && !/^:?-+:?$/.test(cells[0]!)) found.push(cells);
  }
  return found;
}

/** `150 kΩ` in ohms, `22 nF` in farads, of a part of the schematic. */
function partValue(ref: string): number {
  const text = parts.get(ref)!.values[0]!;
  const match = /^([\d.]+) (k|n|p|µ|)(Ω|F)/.exec(text);
  if (match === null) throw new Error(`${ref} is ${text}, not a resistance or capacitance`);
  return Number(match[1]) * { k: 1e3, n: 1e-9, p: 1e-12, µ: 1e-6, '': 1 }[match[2] as 'k']!;
}

describe('pin map', () => {
  const pins = new Map(rows('pin').map((row) => [row[0]!, row]));

  it('puts every output and the stop loop on the pin that the firmware drives', () => {
    const defined = [
      ...read('firmware-protocol/firmware/board.h').matchAll(/#define (\w+)_BIT \(1 << (P[BD]\d)\)/g),
    ];
    expect(defined.length).toBeGreaterThanOrEqual(6);
    for (const [, signal, pin] of defined) expect(pins.get(pin!)?.[1], pin).toBe(signal);
  });

  it('gives every channel the converter input of the firmware', () => {
    const inputs = [
      ...read('firmware-protocol/firmware/protocol.h').matchAll(/#define ADC_INPUT_(\w) (\d)/g),
    ];
    expect(inputs).toHaveLength(7);
    for (const [, letter, input] of inputs) expect(pins.get(`ADC${input}`)?.[1]).toBe(letter);
  });

  it('names no pin that the schematic does not use, and leaves none out', () => {
    const board = parts.get('U6')!;
    const alias: Record<string, string> = { RXD: 'PD0', TXD: 'PD1' };
    const drawn = Object.keys(board.shape.pins).map((pin) => alias[pin] ?? pin);
    expect(drawn.filter((pin) => /^(P[BD]|ADC)\d/.test(pin)).sort()).toEqual([...pins.keys()].sort());
  });
});

describe('scales', () => {
  it('are those of the reference rig’s profile', () => {
    const table = rows('channel').filter(
      (row) => row.length === 5 && row[3]!.match(/^\d+ [AV]$/) && row[1] !== '',
    );
    const scales = table.filter((row) => row[0]! in rig.scales && /^-?[\d.]+ [AV]$/.test(row[1]!));
    expect(scales.map((row) => row[0])).toEqual([
      'motorCurrentA',
      'feedCurrentA',
      'coilCurrentA',
      'leadAVoltageV',
      'leadBVoltageV',
      'supplyVoltageV',
    ]);
    for (const [channel, atZeroCount, perCount, span, zeroVolts] of scales) {
      const { atZeroCount: offset, perCount: step } = rig.scales[channel!]!;
      expect(Number.parseFloat(atZeroCount!), channel).toBe(offset);
      expect(Number.parseFloat(perCount!), channel).toBe(step);
      expect(Number.parseFloat(span!), channel).toBeCloseTo(step * 1024, 9);
      expect(Number.parseFloat(zeroVolts!), channel).toBeCloseTo(((-offset / step) * 5) / 1024, 3);
    }
  });

  // Nodal equation at the divider's tap (Kirchhoff's current law), from the values in the schematic.
  it.each([
    ['leadAVoltageV', ['R11', 'R12'], 'R14', 'R13'],
    ['leadBVoltageV', ['R21', 'R22'], 'R24', 'R23'],
    ['supplyVoltageV', ['R30', 'R31'], 'R32', undefined],
  ] as const)('of %s follow from the divider of the schematic', (channel, top, bottom, bias) => {
    const topS = 1 / top.reduce((sum, ref) => sum + partValue(ref), 0);
    const biasS = bias === undefined ? 0 : 1 / partValue(bias);
    const totalS = topS + biasS + 1 / partValue(bottom);
    const slope = topS / totalS;
    expect(rig.scales[channel]!.perCount).toBeCloseTo(5 / 1024 / slope, 12);
    expect(rig.scales[channel]!.atZeroCount).toBeCloseTo(-(5 * biasS) / topS, 9);
  });

  it.each([
    ['motorCurrentA', 'RS2', 2.5],
    ['feedCurrentA', 'RS1', 5 * (2 / 20)],
    ['coilCurrentA', 'RS3', 0],
  ] as const)('of %s follow from shunt, gain 50 and reference', (channel, shunt, referenceV) => {
    const text = parts.get(shunt)!.values[0]!;
    const panel = /^(\d+) A \/ (\d+) mV$/.exec(text);
    const shuntOhm = panel ? Number(panel[2]) / 1000 / Number(panel[1]) : Number.parseFloat(text);
    const voltPerAmpere = shuntOhm * 50;
    expect(rig.scales[channel]!.perCount).toBeCloseTo(5 / 1024 / voltPerAmpere, 12);
    expect(rig.scales[channel]!.atZeroCount).toBeCloseTo(-referenceV / voltPerAmpere, 9);
  });

  it('of the finer motor current follow from the plain one and the resistors around U7', () => {
    const towards = 1 / (1 / partValue('R81') + 1 / partValue('R82'));
    const gain = 1 + (partValue('R83') + partValue('R84')) / towards;
    const { atZeroCount, perCount } = rig.fineScales.motorCurrentA;
    expect(perCount).toBeCloseTo(rig.scales.motorCurrentA!.perCount / gain, 12);
    expect(atZeroCount).toBeCloseTo(-512 * perCount, 9);
    expect(document).toContain(`from ${atZeroCount} A in steps of ${perCount} A`);
    // 0.1 V from either rail, as of the other amplifiers.
    const usableA = -atZeroCount - (0.1 * 1024 * perCount) / 5;
    expect(document).toContain(`from -${usableA.toFixed(2)} to +${usableA.toFixed(2)} A`);
  });

  it('keep the feed’s zero at 0.5 V by the divider that is drawn', () => {
    expect((5 * partValue('R9')) / (partValue('R8') + partValue('R9'))).toBeCloseTo(0.5, 12);
  });

  it('leave the profile’s trips inside what the amplifiers can put out', () => {
    const usableMotorA = 40 - 0.1 / 0.0625;
    expect(document).toContain(`-${usableMotorA} to +${usableMotorA} A`);
    expect(rig.trip.motorCurrentA).toBeLessThan(usableMotorA);
    expect(rig.trip.feedCurrentA).toBeLessThan(72 - 0.1 / 0.0625);
    expect(document).toContain(`profile sets ${rig.trip.motorCurrentA} A`);
  });
});

describe('arithmetic of the page', () => {
  it('states the errors of the standard resistor pairs as the nodal equation gives them', () => {
    const pairs = rows('R1 (R11 + R12)');
    expect(pairs).toHaveLength(2);
    for (const [top, bottom, bias, slopeError, zeroError] of pairs) {
      const kilohm = (cell: string): number =>
        [...cell.matchAll(/(\d+) kΩ/g)].reduce((sum, match) => sum + Number(match[1]), 0);
      const [g1, g2, g3] = [1 / kilohm(top!), 1 / kilohm(bottom!), 1 / kilohm(bias!)];
      const total = g1 + g2 + g3;
      expect(Number.parseFloat(slopeError!)).toBeCloseTo((g1 / total / (1 / 6) - 1) * 100, 3);
      expect(Number.parseFloat(zeroError!)).toBeCloseTo(((5 * g3) / total - 5 / 3) * 6, 4);
    }
  });

  it('states the worst case of resistor tolerance as corner by corner search gives it', () => {
    for (const [tolerance, slopePercent, zeroV] of [
      [0.001, 0.167, 0.013],
      [0.01, 1.67, 0.133],
    ] as const) {
      const corners = [-1, 1].flatMap((a) => [-1, 1].flatMap((b) => [-1, 1].map((c) => [a, b, c] as const)));
      const errors = corners.map(([a, b, c]) => {
        const [g1, g2, g3] = [
          1 / (300 * (1 + a * tolerance)),
          1 / (100 * (1 + b * tolerance)),
          1 / (150 * (1 + c * tolerance)),
        ];
        const total = g1 + g2 + g3;
        return [Math.abs(g1 / total / (1 / 6) - 1) * 100, Math.abs(((5 * g3) / total - 5 / 3) * 6)] as const;
      });
      const worst = [0, 1].map((i) => Math.max(...errors.map((error) => error[i]!)));
      // 2 %: the page rounds to what a reader needs.
      expect(Math.abs(worst[0]! / slopePercent - 1)).toBeLessThan(0.02);
      expect(Math.abs(worst[1]! / zeroV - 1)).toBeLessThan(0.03);
      expect(document).toContain(`${slopePercent} %`);
      expect(document).toContain(`${zeroV * 1000} mV`);
    }
  });

  it('loads a lead with what the profile says, and lets an open one rest near ground', () => {
    const divider = partValue('R11') + partValue('R12') + 1 / (1 / partValue('R14') + 1 / partValue('R13'));
    const load = 1 / (1 / partValue('R10') + 1 / divider);
    const openV =
      ((5 * partValue('R14')) / (partValue('R13') + partValue('R14'))) *
      (partValue('R10') / (partValue('R10') + divider));
    expect(load).toBeGreaterThan(10e3);
    expect(load).toBeLessThan(50e3);
    expect(Math.abs(load / rig.leadLoadOhm - 1)).toBeLessThan(0.02);
    expect(document).toContain(`${(load / 1000).toFixed(1)} kΩ`);
    expect(document).toContain(`+${openV.toFixed(2)} V`);
    for (const [a, b] of [
      ['R10', 'R20'],
      ['R11', 'R21'],
      ['R12', 'R22'],
      ['R13', 'R23'],
      ['R14', 'R24'],
    ] as const)
      expect(partValue(a)).toBe(partValue(b));
  });

  it('states corner and time constant of the filter at every pin', () => {
    for (const [resistor, capacitor] of [
      ['R5', 'C3'],
      ['R6', 'C4'],
      ['R7', 'C5'],
      ['R15', 'C11'],
      ['R25', 'C13'],
      ['R33', 'C15'],
    ] as const) {
      const timeConstantS = partValue(resistor) * partValue(capacitor);
      expect(document).toContain(`${(1 / (2 * Math.PI * timeConstantS) / 1000).toFixed(1)} kHz`);
      expect(document).toContain(`${(timeConstantS * 1e6).toFixed(1)} µs`);
    }
  });

  it('limits the feed as the profile says, with a resistor that bears it for ever', () => {
    expect(partValue('R1')).toBe(rig.limitedFeedOhm);
    expect(parts.get('R1')!.values[0]).toContain('50 W');
    expect((16 * 16) / 12).toBeLessThan(0.5 * 50);
  });

  it('limits the coils’ feed as the profile says, below every 12 V coil, with a resistor that bears it', () => {
    expect(partValue('R70')).toBe(rig.limitedCoilFeedOhm);
    // Published relay coils at 12 V: 60 to 300 Ohm.
    expect(rig.limitedCoilFeedOhm).toBeLessThan(60);
    const heatW = (16 * 16) / rig.limitedCoilFeedOhm;
    expect(heatW).toBeLessThan(0.7 * 10);
    expect(document).toContain(`${heatW.toFixed(1)} W`);
    expect(document).toContain(`${(13 / rig.limitedCoilFeedOhm).toFixed(2)} A into a dead short`);
  });

  it('clamps the leads where the profile says', () => {
    expect(document).toMatch(/24 V stand-off \(breaks down at 27 to 30 V\)/);
    expect(rig.leadClampV).toBeGreaterThanOrEqual(27);
    expect(rig.leadClampV).toBeLessThanOrEqual(35);
  });

  it('gives volts and counts of every expected reading as the scales do', () => {
    const readings = rows('channel').filter((row) => row.length === 5 && /^\d+$/.test(row[4]!));
    expect(readings.length).toBeGreaterThanOrEqual(15);
    for (const [label, condition, reading, volts, counts] of readings) {
      // As `throwbench rig --watch` heads its rows.
      const channel = CHANNELS.find((name) => CHANNEL[name].label === label);
      const { atZeroCount, perCount } = rig.scales[channel!]!;
      const exact = (Number.parseFloat(reading!) - atZeroCount) / perCount;
      expect(Math.abs(Number(counts) - exact), condition).toBeLessThanOrEqual(0.51);
      expect(Math.abs(Number.parseFloat(volts!) - (exact * 5) / 1024), condition).toBeLessThan(0.001);
    }
  });

  it('closes its example line with the CRC that the protocol asks for', () => {
    const [, body, digits] = /^ {4}(>01 set-rig \S+ )([0-9A-F]{4})$/m.exec(document)!;
    // CRC-16/CCITT-FALSE, bit by bit; check value of "123456789" from the catalogue of parametrised CRC algorithms.
    const crc = (text: string): number =>
      [...text].reduce((register, letter) => {
        let next = register ^ (letter.charCodeAt(0) << 8);
        for (let bit = 0; bit < 8; bit++) next = ((next << 1) ^ (next & 0x8000 ? 0x1021 : 0)) & 0xffff;
        return next;
      }, 0xffff);
    expect(crc('123456789')).toBe(0x29b1);
    expect(Number.parseInt(digits!, 16)).toBe(crc(body!));
  });
});

describe('what the page points at', () => {
  it('exists', () => {
    const links = [...document.matchAll(/\]\(([^)#]+)\)/g)].map((match) => match[1]!);
    expect(links.length).toBeGreaterThan(5);
    expect(links.filter((link) => !existsSync(join(ROOT, 'firmware-protocol', link)))).toEqual([]);
    for (const [image] of document.matchAll(/firmware-protocol\/firmware\/[\w-]+\.hex/g))
      expect(existsSync(join(ROOT, image)), image).toBe(true);
  });

  it('answers as the firmware of this repository does', () => {
    const header = read('firmware-protocol/firmware/protocol.h');
    const word = (name: string): string => new RegExp(`#define ${name} "([^"]+)"`).exec(header)![1]!;
    expect(document).toContain(`${word('BOARD_MAKER')},${word('BOARD_MODEL')},unnamed,<firmware version>`);
    expect(document).toContain(`${/#define BAUD (\d+)/.exec(header)![1]} baud`);
  });

  it('lists every part of the schematic once, and nothing that is not drawn', () => {
    const listed = rows('reference').flatMap((row) => row[0]!.split(/,\s*/));
    const drawn = [...new Set([...parts.keys()].map((ref) => ref.split(':')[0]!))].filter(
      (ref) => ref !== 'M',
    );
    expect([...listed].sort()).toEqual(drawn.sort());
  });

  it('rates every part as the schematic does', () => {
    for (const [refs, part, rating] of rows('reference')) {
      for (const ref of refs!.split(/,\s*/)) {
        const value = /^[\d.]+ ?(k|m|µ|n|p)?(Ω|F)/.exec(parts.get(ref)?.values[0] ?? '')?.[0];
        if (value !== undefined) expect(`${part} ${rating}`, ref).toContain(value);
      }
    }
  });
});

describe('wiring of the unit', () => {
  const styles = readdirSync(join(ROOT, 'profiles/circuits')).filter((name) => name.endsWith('.yaml'));

  it.each(styles)(
    'has a table for %s that joins every wire of the style to a terminal that is drawn',
    (file) => {
      const text = read(`profiles/circuits/${file}`);
      const style = parse(text) as { id: string; thrownBy: string; restState: string; triggerSide?: string };
      const section = new RegExp(`\n### ${style.id}\n([\\s\\S]*?)(?=\n##)`).exec(document)?.[1];
      expect(section, `section ### ${style.id} in RIG.md`).toBeDefined();
      const terminals = new Set(rows('harness', section).flatMap((row) => row[1]!.split(/,\s*/)));
      expect([...terminals].filter((name) => !parts.has(name))).toEqual([]);
      const high = style.thrownBy === 'trigger' && style.triggerSide === 'positive' ? '-HIGH' : '';
      const wanted = [
        ...text.matchAll(/\brig\.(feed|ground|coil-feed|trigger-\w+|lead-[ab]|motor-[ab])\b/g),
      ].map(([, name]) => (name!.startsWith('trigger') ? name!.toUpperCase() + high : name!.toUpperCase()));
      expect(wanted.length).toBeGreaterThan(4);
      if (style.thrownBy === 'stand-in') wanted.push('c1', 'c2', 'a1', 'a2', 'b1', 'b2');
      if (style.thrownBy === 'stand-in' && style.restState !== 'open') wanted.push('r1', 'r2');
      expect([...new Set(wanted)].filter((name) => !terminals.has(name))).toEqual([]);
    },
  );
});
