// A share of `npm run kills`: programs that write, and that send, killed outright at moments drawn from a fixed seed.

import { mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterAll, afterEach, beforeAll, beforeEach, describe, expect, it } from 'vitest';
import { type SeededRandom, seededRandom } from '../../../host/circuit/tolerance-random.js';
import { migrateServer, serverAddress, withServer } from '../../../host/records/server/index.js';
import { harmAtBench, harmOnServer, killed, killedProgram, type Told } from '../kills.js';
import { isSkipped, OwnPostgres, skipNote } from './own-postgres.js';

const SEED = 4711;
const NO_HARM = { lost: [], twice: [], torn: [], strange: [], faults: [] };
const LONGEST_MS = 60;
/** When the next one is killed. */
const drawn = ({ uniform }: SeededRandom) => ({
  afterDone: 1 + Math.floor(5 * uniform()),
  afterMs: LONGEST_MS * uniform(),
});

let program: string;
let programFolder: string;
beforeAll(async () => {
  programFolder = mkdtempSync(join(tmpdir(), 'throwbench-kills-program-'));
  program = await killedProgram(programFolder);
});
afterAll(() => rmSync(programFolder, { recursive: true, force: true }));

let folder: string;
beforeEach(() => {
  folder = mkdtempSync(join(tmpdir(), 'throwbench-kills-'));
});
afterEach(() => rmSync(folder, { recursive: true, force: true }));

it(`a writing program killed again and again on one store loses nothing that it told, seed ${SEED}`, async () => {
  const random = seededRandom(SEED);
  const told: Told[] = [];
  for (let i = 0; i < 4; i++) {
    told.push(await killed(program, folder, { seed: SEED + i, ...drawn(random) }));
    expect(harmAtBench(folder, told)).toEqual(NO_HARM);
  }
  expect(told.every(({ done }) => done.length > 0)).toBe(true);
}, 60_000);

describe.skipIf(isSkipped)(`with a server${skipNote}`, () => {
  let postgres: OwnPostgres;
  beforeAll(async () => {
    postgres = new OwnPostgres();
    await postgres.start();
  });
  afterAll(() => postgres?.stop());

  it(`nothing is lost and nothing sent twice, seed ${SEED}`, async () => {
    const url = await postgres.fresh('kills');
    const address = serverAddress(url)!;
    await withServer(address, (on) => migrateServer(on, address.name));
    const random = seededRandom(SEED);
    const told: Told[] = [];
    for (let i = 0; i < 4; i++) {
      const one = await killed(program, folder, {
        seed: SEED + i,
        afterMs: LONGEST_MS * random.uniform(),
        url,
      });
      told.push(one);
      expect(harmAtBench(folder, told)).toEqual(NO_HARM);
      expect(await harmOnServer(folder, address, one.reached)).toEqual([]);
    }
  }, 60_000);
});
