// `npm run kills`: programs that write, every second one sending to a PostgreSQL of this run's own, killed outright at
// moments drawn from a seed. Prints what was told and what harm was found; ends with 1 where there is any.
// `npm run kills -- COUNT SEED`.

import { mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { seededRandom } from '../../host/circuit/tolerance-random.js';
import { migrateServer, serverAddress, withServer } from '../../host/records/server/index.js';
import { type Harm, harmAtBench, harmOnServer, killed, killedProgram, type Told } from '../records/kills.js';
import { OwnPostgres } from '../records/server/own-postgres.js';

const [count = 500, seed = 20261130] = process.argv.slice(2).map(Number);
/** On one store, one after the other; then a new one, since each is proven whole after each kill. */
const KILLS_A_STORE = 20;
const LONGEST_MS = 400;

const folder = mkdtempSync(join(tmpdir(), 'throwbench-kills-'));
const postgres = new OwnPostgres();
const random = seededRandom(seed);
const killedIn: Record<Told['killedIn'], number> = { start: 0, write: 0, send: 0, between: 0 };
const sum = { told: 0 };
const harms: string[] = [];

async function store(at: number, kills: number, url: string | undefined, program: string): Promise<void> {
  const address = serverAddress(url ?? '');
  if (address) await withServer(address, (on) => migrateServer(on, address.name));
  const logs = join(folder, `store-${at}`);
  const told: Told[] = [];
  for (let i = 0; i < kills; i++) {
    const afterMs = LONGEST_MS * random.uniform();
    const one = await killed(program, logs, { seed: at + i, afterMs, ...(url ? { url } : {}) });
    told.push(one);
    killedIn[one.killedIn] += 1;
    sum.told += one.done.length;
    const found: Harm = harmAtBench(logs, told);
    if (address) {
      found.faults.push(...(await harmOnServer(logs, address, one.reached)));
    }
    if (Object.values(found).some((list) => list.length > 0))
      harms.push(`kill ${at + i} after ${afterMs.toFixed(1)} ms: ${JSON.stringify(found)}`);
  }
  rmSync(logs, { recursive: true });
}

try {
  await postgres.start();
  const program = await killedProgram(folder);
  for (let at = 0; at < count; at += KILLS_A_STORE) {
    const url = (at / KILLS_A_STORE) % 2 === 1 ? await postgres.fresh(`kills_${at}`) : undefined;
    await store(at, Math.min(KILLS_A_STORE, count - at), url, program);
    console.log(`${Math.min(count, at + KILLS_A_STORE)} of ${count}, harm in ${harms.length}`);
  }
  const where = Object.entries(killedIn).map(([word, times]) => `${word} ${times}`);
  console.log(`kills ${count}, seed ${seed}; killed in: ${where.join(', ')}`);
  console.log(`told to be durable: ${sum.told} things written`);
  for (const harm of harms) console.log(harm);
  console.log(harms.length === 0 ? 'nothing lost, nothing twice, every chain holds' : 'HARM');
  process.exitCode = harms.length === 0 ? 0 : 1;
} finally {
  postgres.stop();
  rmSync(folder, { recursive: true, force: true });
}
