// What the sheets themselves, solved by the SPICE engine, do in each mishap: no pin beyond what its part bears by RIG.md's parts
// table, no coil energised that nobody energised. RIG.md shows the same figures to the builder.

import { readFileSync } from 'node:fs';
import { describe, expect, it } from 'vitest';
import { MISHAPS, type Mishap, type Seen, seen, type Worst } from './rig-mishaps.js';

const page = readFileSync('firmware-protocol/RIG.md', 'utf8');

/** The number of `pattern` in the parts table's row of `ref`. */
function rated(ref: string, pattern: RegExp): number {
  const row = page.split('\n').find(
    (line) =>
      line.startsWith('| ') &&
      line
        .split('|')[1]!
        .split(',')
        .some((mark) => mark.trim() === ref),
  );
  const found = pattern.exec(row ?? '')?.[1];
  if (found === undefined) throw new Error(`the parts table does not rate ${ref} by ${pattern}`);
  return Number(found);
}

/** ATmega328P data sheet, "Absolute Maximum Ratings": any pin but RESET -0.5 V to VCC + 0.5 V (value from memory). */
const PIN_BEYOND_V = 0.5;
const SENSE_V = [rated('U1', /common mode (-\d+) to/), rated('U1', /common mode -\d+ to \+(\d+) V/)] as const;
const BUFFER_BEYOND_V = rated('U4', /inputs bear ([\d.]+) V beyond the rails/);
const REGULATOR_V = rated('U5', /input (\d+) V/);
const GATE_V = rated('Q1', /gate ±(\d+) V/);
const DRAIN_V = { weak: rated('Q1', /(\d+) V, 1 A/), strong: rated('Q12', /(\d+) V, 10 A/) };
const STRONG = ['Q5', 'Q12', 'Q14', 'Q22', 'Q24'];
/**
 * A coil at rest that is not to pull in: 12 V relays need half their voltage or more (common data sheet figure: 50 to 75 %),
 * and a cold coil is 20 % lower in resistance. What lasts must stay below a tenth, at which one lets go.
 */
const PULL_IN_V = 4.8;

const shown = ({ volts, part }: Worst, withPart = false): string =>
  Math.abs(volts) < 0.05 ? '0.0 V' : `${volts.toFixed(1)} V${withPart ? `, ${part}` : ''}`;

function row({ words, switchedOn = [] }: Mishap, told: Seen): string[] {
  const idle = Object.entries(told.coilV).flatMap(([part, volts]) =>
    switchedOn.includes(part) ? [] : [{ part, volts }],
  );
  const coil = idle.reduce((a, b) => (b.volts > a.volts + 0.05 ? b : a));
  return [
    words,
    shown(told.pin, true),
    `${shown(told.senseLow)} to ${shown(told.senseHigh)}`,
    shown(told.regulator),
    shown(told.gate),
    shown(told.drain),
    shown(coil, true),
  ];
}

const told = page
  .split('\n')
  .filter((line) => line.startsWith('| '))
  .map((line) =>
    line
      .split('|')
      .slice(1, -1)
      .map((cell) => cell.trim()),
  );

describe('a mishap: every pin within its limits, every coil off that nobody switched on', () => {
  it.each(MISHAPS)('$words', async (mishap) => {
    const found = await seen(mishap);
    const line = row(mishap, found);
    expect(
      told.find(([words]) => words === mishap.words),
      `RIG.md, 5.14, wants the line: | ${line.join(' | ')} |`,
    ).toEqual(line);
    if (mishap.isWarning) {
      // What the page warns of: this build energises a feed by itself.
      expect(found.coilV.KB).toBeGreaterThan(10);
      return;
    }
    expect(found.pin.volts, found.pin.part).toBeLessThan(PIN_BEYOND_V);
    expect(found.senseLow.volts, found.senseLow.part).toBeGreaterThan(SENSE_V[0]);
    expect(found.senseHigh.volts, found.senseHigh.part).toBeLessThan(SENSE_V[1]);
    expect(found.bufferBeyond.volts, found.bufferBeyond.part).toBeLessThan(BUFFER_BEYOND_V);
    expect(found.regulator.volts).toBeLessThan(REGULATOR_V);
    expect(found.gate.volts, found.gate.part).toBeLessThan(GATE_V);
    const { part, volts } = found.drain;
    expect(volts, part).toBeLessThan(STRONG.includes(part) ? DRAIN_V.strong : DRAIN_V.weak);
    const isOn = [...(mishap.energised ?? []), ...(mishap.switchedOn ?? [])];
    for (const [coil, coilV] of Object.entries(found.coilV))
      if (!isOn.includes(coil)) expect(coilV, coil).toBeLessThan(PULL_IN_V);
    for (const coil of mishap.energised ?? []) expect(found.coilV[coil], coil).toBeGreaterThan(PULL_IN_V);
  });
});
