// `npm run judging`: random units of every style through the virtual bench and the judge, and how often that was right.
// --units 2000 --seed 1 --limits both|known|generic --bench emulated|direct --processes 2 --motors a,b --styles a,b; exit code 1
// when a mark is missed. --drawn mistakes: good units that a hand has clipped on wrongly; tired: any on a tired
// supply; passing: good ones that are warm, or whose grease is cold. --bench stranger --rows dip/leads,tired/all: as other instruments bring them (strangers.ts); --units
// are those of each row. `known`: the motor's numbers are a specification; `generic`: motors of its whole family.

import { spawn } from 'node:child_process';
import { createInterface } from 'node:readline';
import { parseArgs } from 'node:util';
import { seededRandom } from '../../host/circuit/index.js';
import type { ResolvedUnit } from '../../host/profile/index.js';
import { keepsFeedOff, runOnBench } from './bench-run.js';
import { runDirectly } from './direct-run.js';
import { deskFor, type JudgedUnit, judged } from './judged-unit.js';
import { marksOf, tableOf } from './judging-table.js';
import { DRAWN, type Drawn, everyProfile, type Limits } from './random-unit.js';
import { judgedStrangers, rowsAsked, type StrangerUnit, strangersTable } from './strangers.js';

const { values: told } = parseArgs({
  options: {
    units: { type: 'string', default: '2000' },
    seed: { type: 'string', default: '1' },
    bench: { type: 'string', default: 'emulated' },
    processes: { type: 'string', default: '2' },
    motors: { type: 'string', default: 'entry-step,roof-vent' },
    styles: { type: 'string' },
    limits: { type: 'string', default: 'both' },
    drawn: { type: 'string', default: 'units' },
    share: { type: 'string' },
    rows: { type: 'string' },
  },
});
const isDrawn = (drawn: string): drawn is Drawn => drawn in DRAWN;
if (!isDrawn(told.drawn)) throw new RangeError(`--drawn is ${Object.keys(DRAWN).join(', ')}`);
const drawUnit = DRAWN[told.drawn];
const isStranger = told.bench === 'stranger';
const profilesWith = (limits: Limits): ResolvedUnit[] =>
  everyProfile(told.motors.split(','), {
    limits,
    ...(told.styles === undefined ? {} : { styles: told.styles.split(',') }),
  });

/** One line of JSON a unit. */
async function share(index: number, of: number, limits: Limits): Promise<void> {
  const profiles = profilesWith(limits);
  const each = Math.ceil(Number(told.units) / profiles.length);
  for (const [place, unit] of profiles.entries()) {
    if (place % of !== index) continue;
    if (isStranger) {
      const drawing = { each, seed: Number(told.seed) * 1000 + place };
      for (const one of judgedStrangers(unit, rowsAsked(told.rows), drawing))
        process.stdout.write(`${JSON.stringify(one)}\n`);
      continue;
    }
    const desk = deskFor(unit);
    const random = seededRandom(Number(told.seed) * 1000 + place);
    for (let n = 0; n < each; n++) {
      const one = drawUnit(unit, random);
      const gate = keepsFeedOff(unit);
      const run = told.bench === 'direct' ? runDirectly(one, gate) : await runOnBench(one);
      process.stdout.write(`${JSON.stringify(judged(one, desk, run))}\n`);
    }
  }
}

async function all(limits: Limits): Promise<void> {
  const profiles = profilesWith(limits);
  const each = Math.ceil(Number(told.units) / profiles.length);
  const processes = Number(told.processes);
  const units: JudgedUnit[] = [];
  const total = each * profiles.length * (isStranger ? rowsAsked(told.rows).length : 1);
  const start = Date.now();
  await Promise.all(
    Array.from({ length: processes }, async (_, index) => {
      const child = spawn(
        process.execPath,
        ['--import', 'tsx', ...process.argv.slice(1), '--limits', limits, '--share', `${index}/${processes}`],
        { stdio: ['ignore', 'pipe', 'inherit'] },
      );
      const ended = new Promise<number | null>((resolve) => child.once('close', resolve));
      for await (const line of createInterface({ input: child.stdout })) {
        units.push(JSON.parse(line) as JudgedUnit);
        if (process.stderr.isTTY) process.stderr.write(`\r${units.length} of ${total} units`);
      }
      const code = await ended;
      if (code !== 0) throw new Error(`share ${index} of ${processes} ended with ${code}`);
    }),
  );
  if (process.stderr.isTTY) process.stderr.write('\n');
  const seconds = ((Date.now() - start) / 1000).toFixed(0);
  process.stdout.write(
    `${units.length} units of ${profiles.length} profiles, seed ${told.seed}, ${limits} limits, ${told.bench} bench, 0 to 40 C, 11 to 14.5 V; ${seconds} s\n\n`,
  );
  if (isStranger) {
    process.stdout.write(`${strangersTable(units as StrangerUnit[])}\n\n`);
    return;
  }
  process.stdout.write(`${tableOf(units, limits)}\n\n`);
  if (marksOf(units, limits).some(({ holds }) => !holds)) process.exitCode = 1;
}

const isOne = told.limits === 'known' || told.limits === 'generic';
const asked: readonly Limits[] = isOne ? [told.limits as Limits] : ['known', 'generic'];
if (told.share === undefined) for (const limits of asked) await all(limits);
else {
  const [index, of] = told.share.split('/').map(Number);
  await share(index!, of!, asked[0]!);
}
