// Where a probing of a recorded run starts: its causes, its feed and supply, and what was taken of it before.

import type { Capture } from '../capture/index.js';
import { InputError } from '../input/index.js';
import { causesOfRun, type Probing, type Reading, startProbing, withReading } from '../probe/index.js';
import { restoredUnit } from '../profile/index.js';
import type { ProbeEntry, RunEntry, RunRecord, Store } from '../records/index.js';
import { VERDICT_WORDS } from '../tell/index.js';
import { knownRun } from './stored-runs.js';

/** Supply told to this step, so that solved circuits serve the next unit. */
const SUPPLY_STEP_V = 0.1;
/** A supply that reads less was not sampled. */
const LEAST_SUPPLY_V = 5;

export interface Begun {
  record: RunRecord;
  probing: Probing;
  /** Readings taken of it before. */
  before: readonly ProbeEntry[];
}

/** @throws InputError in one line: no such run, one that passed, one that names no cause. */
export function beginProbing(store: Store, ref: string): Begun {
  const record = knownRun(store, ref);
  const { runId, judgement, verdict, status } = record;
  const refused = (what: string, mend: string): InputError => new InputError({ file: runId, what, mend });
  if (status === 'running') throw refused('the run is still going on', 'probe it when it has ended');
  if (judgement === undefined) throw refused('the run was broken off and never judged', 'run the unit again');
  if (verdict === 'pass') throw refused('the run passed', 'there is nothing to probe');
  const unit = restoredUnit(record.unit, runId);
  const causes = causesOfRun(unit, judgement.findings);
  if (causes === undefined) {
    const word = verdict === undefined ? 'not judged' : VERDICT_WORDS[verdict];
    throw refused(`the run names no cause (${word})`, `throwbench log show ${runId} tells why`);
  }
  const supplyV = supplyOf(store.readCapture(runId));
  const fresh = startProbing({
    unit,
    // What stopped once at the full feed, was kept from it, or never met it, is probed through the limited one.
    feed: record.stop === undefined && !record.rig.isHandMeter ? 'full' : 'limited',
    ...causes,
    ...(supplyV === undefined ? {} : { supplyV }),
  });
  const before = standingProbes(store.listEntries(runId));
  return { record, before, probing: before.reduce(taken, fresh) };
}

/** The readings that were not taken back, oldest first. */
function standingProbes(entries: readonly RunEntry[]): ProbeEntry[] {
  const standing: ProbeEntry[] = [];
  for (const entry of entries)
    if (entry.kind === 'probe') standing.push(entry);
    else if (entry.kind === 'probe-undone') standing.pop();
  return standing;
}

/** A probe that this program does not know any more says nothing. */
function taken(probing: Probing, entry: ProbeEntry): Probing {
  const probe = probing.menu.find(({ id }) => id === entry.probe);
  const reading = readingOf(entry);
  return probe === undefined || reading === undefined ? probing : withReading(probing, probe, reading);
}

function readingOf({ value, yes, standardUncertainty }: ProbeEntry): Reading | undefined {
  if (yes !== undefined) return { kind: 'answer', yes };
  if (value === undefined) return undefined;
  return { kind: 'number', value, ...(standardUncertainty === undefined ? {} : { standardUncertainty }) };
}

/** Of this bench on that day, before anything was thrown; undefined where it was not sampled. */
function supplyOf(capture: Capture | undefined): number | undefined {
  const values = capture?.channels.supplyVoltageV;
  if (capture === undefined || values === undefined) return undefined;
  const until = capture.position.findIndex((position) => position !== 'rest');
  const rest = values.subarray(0, until < 0 ? values.length : until).filter((value) => !Number.isNaN(value));
  const mean = rest.reduce((sum, value) => sum + value, 0) / rest.length;
  return mean > LEAST_SUPPLY_V ? Math.round(mean / SUPPLY_STEP_V) * SUPPLY_STEP_V : undefined;
}
