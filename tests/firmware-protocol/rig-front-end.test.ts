// What the sheets make of currents and voltages, solved by the SPICE engine, against what the host believes by the rig's profile:
// scale of every channel, common mode, settling and corner. Outside reference: ngspice (eecircuit-engine) on the drawn parts.

import { readFileSync } from 'node:fs';
import { describe, expect, it } from 'vitest';
import { parse } from 'yaml';
import { runSpice } from '../references/circuit-spice/engine.js';
import { type AmplifierFigures, rigDeck } from './rig-deck.js';

type Scale = { atZeroCount: number; perCount: number };
const { scales, fineScales } = parse(readFileSync('profiles/rigs/reference-rig.yaml', 'utf8')) as {
  scales: Record<string, Scale>;
  fineScales: { motorCurrentA: Scale };
};
const page = readFileSync('firmware-protocol/RIG.md', 'utf8');

const PIN = {
  motorCurrentA: 'adc0',
  leadAVoltageV: 'adc1',
  leadBVoltageV: 'adc2',
  feedCurrentA: 'adc3',
  coilCurrentA: 'adc4',
  supplyVoltageV: 'adc5',
} as const;
/** Motor current once more, through U7. */
const FINE_PIN = 'adc6';
type Name = keyof typeof PIN;
const NAMES = Object.keys(PIN) as Name[];

/** Each current and voltage by itself; positive motor current into lead A, feed and coil current out of the supply. */
const drive = (waves: Record<Exclude<Name, 'supplyVoltageV'>, string>): string[] => [
  `Im n_motor_a n_lead_a ${waves.motorCurrentA}`,
  `Ef n_fed 0 value={v(n_sense_a)}`,
  'Rf n_fed n_motor_a 1m',
  `Va n_sense_a 0 ${waves.leadAVoltageV}`,
  `Vb n_sense_b 0 ${waves.leadBVoltageV}`,
  `If n_metered 0 ${waves.feedCurrentA}`,
  `Ic n_coil_supply 0 ${waves.coilCurrentA}`,
  // Q5 on, or the coils' limiter would stand in the way.
  'Vpb0 n_pb0 0 5',
];

const STEP_S = 1e-4;
/** From the first value to the second in a microsecond. */
const step = (from: number, to: number): string => `pwl(0 ${from} ${STEP_S} ${from} ${STEP_S + 1e-6} ${to})`;

async function read(
  sources: readonly string[],
  analysis: string,
  options: { batteryV: string; amplifier?: Partial<AmplifierFigures> },
) {
  const result = await runSpice(
    rigDeck({
      isAlive: true,
      ...options,
      sources,
      analysis,
      save: ['v(n_5v0)', 'v(n_supply)', ...[...Object.values(PIN), FINE_PIN].map((pin) => `v(n_${pin})`)],
    }),
  );
  const rail = result.column('v(n_5v0)');
  /** By the converter's own reference, the rail. */
  const countsAt = (pin: string): Float64Array =>
    result.column(`v(n_${pin})`).map((volts, i) => (1024 * volts) / rail[i]!);
  const counts = (name: Name): Float64Array => countsAt(PIN[name]);
  return { timeS: result.timeS, counts, countsAt, supplyV: result.column('v(n_supply)') };
}

const readingOf = (name: Name, count: number): number =>
  scales[name]!.atZeroCount + scales[name]!.perCount * count;

describe('a step on every channel at once', () => {
  const FROM = {
    motorCurrentA: -30,
    leadAVoltageV: 0,
    leadBVoltageV: 19,
    feedCurrentA: 0,
    coilCurrentA: 0.1,
  };
  const TO = { motorCurrentA: 30, leadAVoltageV: 0, leadBVoltageV: -9, feedCurrentA: 30, coilCurrentA: 0.8 };
  const waves = Object.fromEntries(
    Object.entries(FROM).map(([name, from]) => [name, step(from, TO[name as keyof typeof TO])]),
  ) as typeof FROM & Record<keyof typeof FROM, never>;

  it('reads what it is, before and after, within half a count and 0.1 %, settled as RIG.md says', async () => {
    const { timeS, counts, supplyV } = await read(drive(waves), '.tran 2u 0.4m 0 4u', { batteryV: '12.6' });
    const before = timeS.findIndex((atS) => atS > STEP_S) - 1;
    const after = timeS.length - 1;
    const settled: Record<string, number> = {};
    for (const name of NAMES) {
      const count = counts(name);
      const truth = (i: number): number =>
        name === 'supplyVoltageV' ? supplyV[i]! : (i <= before ? FROM : TO)[name];
      for (const i of [before, after])
        expect(Math.abs(readingOf(name, count[i]!) - truth(i)), `${name}, ${truth(i)}`).toBeLessThan(
          0.5 * scales[name]!.perCount + 0.001 * Math.abs(truth(i)),
        );
      const last = count[after]!;
      const unsettled = count.findLastIndex((value) => Math.abs(value - last) > 0.5);
      settled[name] = timeS[Math.max(unsettled, before)]! - STEP_S;
    }
    console.log(`settled to half a count after, s: ${JSON.stringify(settled)}`);
    const saysS = Number(/settled to half a count in ([\d.]+) ms/.exec(page)![1]) / 1000;
    // A sample comes every 200 us.
    for (const name of NAMES) expect(settled[name], name).toBeLessThan(saysS + 5e-6);
    expect(saysS).toBeLessThan(200e-6 / 2);
  });
});

describe('the finer amplifier of the motor current', () => {
  it('reads by the profile’s fine scale, settles as fast, and comes to its end where RIG.md says', async () => {
    const still = { leadAVoltageV: '0', leadBVoltageV: '0', feedCurrentA: '0', coilCurrentA: '0.1' };
    const wave = `pwl(0 -3.5 ${STEP_S} -3.5 ${STEP_S + 1e-6} 3.5 0.4m 3.5 0.401m 6)`;
    const { timeS, countsAt } = await read(drive({ ...still, motorCurrentA: wave }), '.tran 2u 0.6m 0 4u', {
      batteryV: '12.6',
    });
    const { atZeroCount, perCount } = fineScales.motorCurrentA;
    const count = countsAt(FINE_PIN);
    const at = (atS: number): number => timeS.findIndex((timeAtS) => timeAtS >= atS) - 1;
    const readA = (atS: number): number => atZeroCount + perCount * count[at(atS)]!;
    for (const [atS, currentA] of [
      [STEP_S, -3.5],
      [0.4e-3, 3.5],
    ] as const)
      expect(Math.abs(readA(atS) - currentA), `${currentA} A`).toBeLessThan(perCount / 2 + 0.0035);
    const last = count[at(0.4e-3)]!;
    const settledS =
      timeS[count.findLastIndex((value, i) => timeS[i]! < 0.4e-3 && Math.abs(value - last) > 0.5)]! - STEP_S;
    expect(settledS).toBeLessThan(95e-6);
    const usableA = Number(/usable\s+from -([\d.]+) to/.exec(page)![1]);
    expect(readA(0.59e-3)).toBeGreaterThan(usableA);
  });
});

describe('common mode of the motor amplifier', () => {
  // 0 A, lead A from 0 to 13 V: what the amplifier lets through is read as current.
  it('is as RIG.md reckons it at 80 dB', async () => {
    const waves = { motorCurrentA: '0', leadBVoltageV: '0', feedCurrentA: '0', coilCurrentA: '0.1' };
    const { counts } = await read(drive({ ...waves, leadAVoltageV: step(0, 13) }), '.tran 20u 0.6m', {
      batteryV: '12.6',
      amplifier: { commonModeDb: 80 },
    });
    const count = counts('motorCurrentA');
    const throughA = (count.at(-1)! - count[0]!) * scales.motorCurrentA!.perCount;
    expect(page).toContain(`= ${throughA.toFixed(2)} A between a lead that is fed and one that is grounded`);
  });
});

describe('corner of the motor channel', () => {
  /** Amplitude at the pin over that of the current, by the first Fourier coefficient of whole periods. */
  const passed = async (hz: number, cornerHz?: number): Promise<number> => {
    const [periods, settleS] = [4, 0.5 / hz];
    const untilS = settleS + periods / hz;
    const waves = { leadAVoltageV: '0', leadBVoltageV: '0', feedCurrentA: '0', coilCurrentA: '0.1' };
    const { timeS, counts } = await read(
      drive({ ...waves, motorCurrentA: `sin(0 20 ${hz})` }),
      `.tran 1u ${untilS} 0 ${0.02 / hz}`,
      { batteryV: '12.6', ...(cornerHz === undefined ? {} : { amplifier: { cornerHz } }) },
    );
    const count = counts('motorCurrentA');
    let [re, im] = [0, 0];
    for (let i = 1; i < timeS.length; i++) {
      if (timeS[i]! <= settleS) continue;
      const dtS = timeS[i]! - Math.max(timeS[i - 1]!, settleS);
      const phase = 2 * Math.PI * hz * timeS[i]!;
      re += count[i]! * Math.cos(phase) * dtS;
      im += count[i]! * Math.sin(phase) * dtS;
    }
    return (Math.hypot(re, im) * 2 * scales.motorCurrentA!.perCount) / (untilS - settleS) / 20;
  };

  it('is 15 kHz, and 8 kHz with a slow amplifier, as RIG.md says', async () => {
    expect(page).toContain('= 15.4 kHz');
    expect(Math.abs((await passed(15_000)) - Math.SQRT1_2)).toBeLessThan(0.02);
    expect(page).toContain('one of 10 kHz would make the channel one of 8 kHz');
    expect(Math.abs((await passed(8000, 10_000)) - Math.SQRT1_2)).toBeLessThan(0.02);
  });
});
