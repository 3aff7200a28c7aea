// Speed of what is done with many records: sending them to a PostgreSQL of this run's own, beside proving the same ones
// here, and writing a site of sheets with circuits, beside the same sheets without. Sending is timed by the clock, since
// most of it is done by the server; the site by the processor.

import { mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { nominalInput } from '../../host/circuit/index.js';
import { sheetOf } from '../../host/commands/sheet-of-run.js';
import { command as log } from '../../host/commands/verbs/log.js';
import { causeLibrary, expectation, judge } from '../../host/judge/index.js';
import { judgementRecord, openStore, type Store } from '../../host/records/index.js';
import { catchUpStore, migrateServer, serverAddress, withServer } from '../../host/records/server/index.js';
import { sheetHtml } from '../../host/reports/sheet/index.js';
import { withFaults } from '../circuit/with-faults.js';
import { call } from '../commands/call.js';
import { benchRun } from '../judge/bench.js';
import { plannedUnit } from '../profile/planned-unit.js';
import { begin, capture, judgement, RIG } from '../records/example-run.js';
import { isSkipped, OwnPostgres, skipNote } from '../records/server/own-postgres.js';

type Print = (line: string) => void;

const RUNS = 200;
const SAMPLES = 25_000;
const SHEETS = 60;
const FAULTS = ['k2-coil-open', 'k1-coil-open', undefined] as const;

export async function benchRecords(print: Print): Promise<void> {
  const folder = mkdtempSync(join(tmpdir(), 'throwbench-bench-records-'));
  try {
    if (isSkipped) print(`catch-up${skipNote}`);
    else await benchCatchUp(join(folder, 'catch-up'), print);
    await benchSite(join(folder, 'site'), print);
  } finally {
    rmSync(folder, { recursive: true, force: true });
  }
}

async function benchCatchUp(folder: string, print: Print): Promise<void> {
  const postgres = new OwnPostgres();
  try {
    await postgres.start();
    const store = openStore(folder);
    const plain = capture(SAMPLES);
    const rawLines = Array.from({ length: 2000 }, (_, i) => `s ${i} ${(i * 2654435761) % 2 ** 32}`);
    store.together(() => {
      for (let i = 0; i < RUNS; i++)
        store.finishRun(store.beginRun(begin()), { capture: plain, judgement: judgement(), rawLines });
    });
    const proveMs = await clockMs(() => store.verify());
    const address = serverAddress(await postgres.fresh('speed'))!;
    await withServer(address, (on) => migrateServer(on, address.name));
    const sendMs = await clockMs(() => catchUpStore(store.file, address));
    const againMs = await clockMs(() => catchUpStore(store.file, address));
    store.close();
    print(`catch-up of ${RUNS} runs of ${SAMPLES} samples, on the clock:`);
    print(`  proving them here ${proveMs.toFixed(0)} ms`);
    print(`  sending ${sendMs.toFixed(0)} ms, ${(sendMs / proveMs).toFixed(1)} times proving them`);
    print(`  again, with nothing to send ${againMs.toFixed(0)} ms`);
  } finally {
    postgres.stop();
  }
}

async function benchSite(folder: string, print: Print): Promise<void> {
  const before = process.env.THROWBENCH_LOGS;
  process.env.THROWBENCH_LOGS = folder;
  try {
    const store = openStore();
    record(store);
    const sheetsMs = await processorMs(() => plainSheets(store));
    store.close();
    const site = () => call(log, ['site', 'pages'], folder);
    const siteMs = await processorMs(site);
    const againMs = await processorMs(site);
    print(`site of ${SHEETS} sheets, two of three with a circuit, processor time:`);
    print(`  the sheets without circuits ${sheetsMs.toFixed(0)} ms`);
    print(`  the site with them ${siteMs.toFixed(0)} ms, ${(siteMs / sheetsMs).toFixed(1)} times that`);
    print(`  again, with nothing new ${againMs.toFixed(0)} ms`);
  } finally {
    if (before === undefined) delete process.env.THROWBENCH_LOGS;
    else process.env.THROWBENCH_LOGS = before;
  }
}

/** A good unit and two faulty ones, again and again under other tags. */
function record(store: Store): void {
  const unit = plannedUnit('entry-step-relays');
  const band = expectation(unit);
  const library = causeLibrary(unit);
  const found = FAULTS.map((fault, seed) => {
    const input = withFaults(nominalInput(unit), ...(fault === undefined ? [] : [fault]));
    const run = benchRun(unit, input, { seed: seed + 1 });
    const told = judge({ unit, ...run, expectation: band, library: () => library });
    return { capture: run.capture, judgement: judgementRecord(told) };
  });
  for (let i = 0; i < SHEETS; i++) {
    const one = found[i % found.length];
    if (one === undefined) continue;
    const startedAt = new Date(2024, 5, 1 + (i % 28), 9).toISOString();
    store.finishRun(store.beginRun({ tag: `V-${i}`, unit, rig: RIG, startedAt }), one);
  }
}

function plainSheets(store: Store): void {
  for (const { runId } of store.listRuns()) {
    const asked = { calibrations: [], entries: [], story: [], shop: [] };
    sheetHtml(sheetOf({ run: store.showRun(runId), capture: store.readCapture(runId), ...asked }), 'a4');
  }
}

async function clockMs(work: () => unknown): Promise<number> {
  const began = performance.now();
  await work();
  return performance.now() - began;
}

async function processorMs(work: () => unknown): Promise<number> {
  const before = process.cpuUsage();
  await work();
  const { user, system } = process.cpuUsage(before);
  return (user + system) / 1000;
}
