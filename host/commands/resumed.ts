// A tray that goes on: its list as it was kept, and what was told of each unit up to where it was broken off.

import type { BenchEvent } from '../bench/index.js';
import { known } from '../fields/index.js';
import { InputError } from '../input/index.js';
import { restoredUnit } from '../profile/index.js';
import {
  openStore,
  type RunSummary,
  type Store,
  type StoredSitting,
  type StoredSittingUnit,
} from '../records/index.js';
import type { SessionRequest, SessionUnit } from './bench-driver.js';

/** Judged, and not by a run that was broken off; or skipped. */
const isDone = ({ runs, isSkipped }: StoredSittingUnit): boolean =>
  isSkipped || runs.at(-1)?.status === 'finished';

/**
 * The newest tray of the store, to go on exactly where it stood: units that are done are told again, not run.
 * @throws InputError when there is none, it has been gone through, or another window still runs it
 */
export function resumedTray(): SessionRequest {
  const store = openStore();
  try {
    const id = store.lastSittingId(['tray', 'bench']);
    if (id === undefined)
      throw new InputError({
        file: 'tray',
        what: 'none was begun yet',
        mend: 'name one: throwbench tray FILE',
      });
    const sitting = store.readSitting(id);
    refuseRunning(sitting);
    if (sitting.kind === 'tray' && sitting.units.every(isDone))
      throw new InputError({
        file: sitting.title,
        what: 'every unit of it is done',
        mend: 'begin another: throwbench tray FILE',
      });
    return requestOf(sitting, store);
  } finally {
    store.close();
  }
}

/** Runs whose program is gone were closed when the store was opened. */
function refuseRunning({ title, units }: StoredSitting): void {
  const tag = units.find(({ runs }) => runs.some(({ status }) => status === 'running'))?.tag;
  if (tag === undefined) return;
  throw new InputError({
    file: title,
    what: `${tag} is being run in another window`,
    mend: 'go on there, or end it first',
  });
}

function requestOf(sitting: StoredSitting, store: Store): SessionRequest {
  const { id, kind, title, port, rigId } = sitting;
  return {
    ...{ kind, title, sittingId: id },
    ...known({ port, rigId }),
    units: sitting.units.map((unit, index) => unitOf(unit, index, store)),
  };
}

function unitOf(kept: StoredSittingUnit, index: number, store: Store): SessionUnit {
  const { tag, unit, virtualCase, runs, isSkipped } = kept;
  const last = runs.at(-1);
  const told = last && toldOf(last, index, store);
  return {
    ...{ tag, unit: restoredUnit(unit, `unit ${tag} of the stored tray`) },
    ...known({ virtualCase }),
    before: { ...{ isDone: isDone(kept), isSkipped, attempts: runs.length }, ...known({ told }) },
  };
}

function toldOf(
  { runId, tag, attempt = 1, status }: RunSummary,
  index: number,
  store: Store,
): BenchEvent & { kind: 'unit-recorded' } {
  const { unit, verdict = 'cannot-tell', sentence = '', judgement } = store.showRun(runId);
  const disposition = store.dispositionOf(runId)?.word;
  return {
    kind: 'unit-recorded',
    ...{ index, tag, circuitTitle: unit.style.title, verdict, sentence, runId, attempt },
    aborted: status !== 'finished',
    checks: (judgement?.checks ?? []).map(({ id, outcome, sentence: words }) => ({
      ...{ id, outcome, sentence: words },
    })),
    findings: judgement?.findings ?? [],
    ...known({ disposition }),
  };
}
