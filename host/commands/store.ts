// The shop's server: set up, looked at, brought up to this bench, proven.

import { join } from 'node:path';
import { known } from '../fields/index.js';
import { InputError } from '../input/index.js';
import { anchorOf, logsDir, STORE_FILE } from '../records/index.js';
import {
  type BenchVerified,
  catchUpStore,
  clockAheadS,
  LocalChain,
  migrateServer,
  NEWEST_SERVER_VERSION,
  type ServerAddress,
  STORE_VARIABLE,
  serverAddress,
  serverState,
  verifyServer,
  type Waiting,
  waitingFor,
  withServer,
} from '../records/server/index.js';
import { type CommandIo, EXIT, jsonText } from './command.js';
import { when } from './log-text.js';
import { keyFrom, placeOf } from './log-verify.js';
import { ownKey } from './own-key.js';
import { namedServer } from './shop-server.js';
import { storePlace, withStore } from './stored-runs.js';
import { tableLines } from './table.js';

/** @throws InputError where none is named */
async function named(): Promise<ServerAddress> {
  const written = await namedServer();
  const address = written && serverAddress(written.text, written.place);
  if (address === undefined)
    throw new InputError({
      file: STORE_VARIABLE,
      what: 'names no server, and none is settled',
      mend: 'throwbench settings store postgres://bench@server/shop',
    });
  return address;
}

export async function setUp(io: CommandIo, json: boolean): Promise<number> {
  const address = await named();
  const before = await withServer(address, (server) => migrateServer(server, address.name));
  if (json) io.stdout(jsonText({ server: address.name, before, version: NEWEST_SERVER_VERSION }));
  else if (before === NEWEST_SERVER_VERSION)
    io.stdout(`the shop's server ${address.name} is set up already\n`);
  else io.stdout(`the shop's server ${address.name} is ${before === 0 ? 'set up' : 'brought up'}\n`);
  return EXIT.pass;
}

/** Path of this bench's store, brought to the newest version; undefined where there is none. */
const ownStore = (): string | undefined => withStore(() => join(logsDir(), STORE_FILE));

function waitingHere({ name }: ServerAddress): { bench?: string; waiting: Waiting } {
  const store = ownStore();
  if (store === undefined) return { waiting: { runs: 0, entries: 0 } };
  const local = new LocalChain(store);
  try {
    return { ...known({ bench: local.bench }), waiting: waitingFor(store, name, local) };
  } finally {
    local.close();
  }
}

const waitLine = ({ runs, entries }: Waiting): string =>
  entries === 0 ? 'nothing waits here\n' : `waiting here: entries ${entries}, runs among them ${runs}\n`;

export async function showState(io: CommandIo, json: boolean): Promise<number> {
  const address = await named();
  const { bench, waiting } = waitingHere(address);
  // Told first: it is known also where the server is away.
  if (!json) io.stdout(`the shop's server ${address.name}\n${waitLine(waiting)}`);
  const { benches, aheadS } = await withServer(address, async (server) => ({
    benches: await serverState(server, address.name),
    aheadS: Math.round(await clockAheadS(server)),
  }));
  if (json) {
    const told = { server: address.name, ...known({ bench }), waiting, benches, clockAheadS: aheadS };
    io.stdout(jsonText(told));
    return EXIT.pass;
  }
  const rows = benches.map((one) => [
    `${one.name}${one.bench === bench ? ' (this one)' : ''}`,
    anchorOf(one.bench),
    ...[one.entries, one.runs, one.toCome].map(String),
    when(one.lastSeen),
  ]);
  if (rows.length === 0) io.stdout('no bench has sent anything yet\n');
  else
    for (const line of tableLines([
      ['bench', 'first anchor', 'entries', 'runs', 'to come', 'heard'],
      ...rows,
    ]))
      io.stdout(`${line}\n`);
  if (Math.abs(aheadS) > CLOCKS_APART_S) io.stdout(clockLine(aheadS));
  return EXIT.pass;
}

/** Further apart than this, "heard" misleads a person who looks at a clock here. */
const CLOCKS_APART_S = 120;

function clockLine(aheadS: number): string {
  const apartS = Math.abs(aheadS);
  const { lengthS, unit } = LENGTHS.find((one) => apartS >= 2 * one.lengthS) ?? MINUTE;
  const side = aheadS > 0 ? 'ahead of' : 'behind';
  return `The server's clock stands ${Math.round(apartS / lengthS)} ${unit} ${side} this bench's: set right the one that is wrong. Times of runs are the bench's own; no proof rests on the server's.\n`;
}

const MINUTE = { lengthS: 60, unit: 'min' };
const LENGTHS = [{ lengthS: 86_400, unit: 'd' }, { lengthS: 3600, unit: 'h' }, MINUTE];

export async function catchUpNow(io: CommandIo, json: boolean): Promise<number> {
  const address = await named();
  const store = ownStore();
  const told = store === undefined ? { sent: 0, runs: 0, places: 0 } : await catchUpStore(store, address);
  if (json) io.stdout(jsonText({ server: address.name, ...told }));
  else if (store === undefined) io.stdout(`no store in ${storePlace()}: nothing was sent\n`);
  else
    io.stdout(
      `sent to the shop's server ${address.name}: entries ${told.sent}, runs among them ${told.runs}; it has all ${told.places}\n`,
    );
  return EXIT.pass;
}

export async function verifyBenches(
  io: CommandIo,
  { key, json }: { key: string | undefined; json: boolean },
): Promise<number> {
  const address = await named();
  const heldAgainst = key === undefined ? ownKey() : keyFrom(io.cwd, key);
  const found = await withServer(address, (server) =>
    verifyServer(server, { name: address.name, key: heldAgainst }),
  );
  const holds = found.every(({ faults, signatures }) => faults.length + signatures.faults.length === 0);
  if (json) io.stdout(jsonText({ server: address.name, benches: found }));
  else {
    io.stdout(`the shop's server ${address.name}\n`);
    io.stdout(found.map(benchText).join(''));
    if (found.length === 0) io.stdout('no bench has sent anything yet: nothing was verified\n');
  }
  return holds ? EXIT.pass : EXIT.fail;
}

function benchText({
  bench,
  name,
  entries,
  runs,
  toCome,
  lastHash,
  faults,
  signatures,
}: BenchVerified): string {
  const all = [...faults, ...signatures.faults];
  const signed = signatures.signed === 0 ? '' : `, records signed: ${signatures.signed}`;
  const chain =
    all.length > 0
      ? `does NOT hold; faults: ${all.length}`
      : `holds${lastHash === undefined ? '' : `, anchor ${anchorOf(lastHash)}`}${signed}`;
  return [
    `bench ${name} (${anchorOf(bench)}): entries ${entries}, runs among them ${runs}; ${chain}\n`,
    ...all.map((fault) => `  ${placeOf(fault, 'this bench')}: ${fault.sentence}\n`),
    ...(toCome === 0 ? [] : [`  still to come from it: ${toCome}\n`]),
  ].join('');
}
