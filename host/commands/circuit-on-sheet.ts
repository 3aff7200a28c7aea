// The circuit for the sheet of a failed run: small, the faulty place marked, what it does there beside a good unit.

import { CircuitError } from '../circuit/index.js';
import { InputError } from '../input/index.js';
import { restoredUnit } from '../profile/index.js';
import type { RunRecord } from '../records/index.js';
import { circuitSvg, compactMetrics, drawingOf, type Layout, laidOut } from '../reports/circuit/index.js';
import type { SheetCircuit } from '../reports/sheet/index.js';
import { foundIn } from './circuit-found.js';
import { positionWords, shownCircuit } from './circuit-shown.js';

/** Laid out once for all runs of one circuit with one faulty place. */
const layouts = new Map<string, Promise<Layout>>();

/** Undefined where no cause was found that lies in the circuit, or the record cannot be drawn any more. */
export async function sheetCircuit(run: RunRecord): Promise<SheetCircuit | undefined> {
  try {
    const unit = restoredUnit(run.unit, run.runId);
    const causes = foundIn(run, unit);
    if (run.verdict === 'pass' || causes.length === 0) return undefined;
    const { shown } = shownCircuit({ unit, causes });
    const isCompared = shown.good !== undefined;
    const parts = new Set(causes.flatMap((cause) => cause.parts.map(({ id }) => id)));
    const key = JSON.stringify([isCompared, unit.style, [...parts]]);
    const layout =
      layouts.get(key) ??
      laidOut(drawingOf(unit.style), compactMetrics(isCompared), (wire) => parts.has(wire));
    layouts.set(key, layout);
    const where = causes.length === 1 ? 'the faulty place' : 'where it may be';
    const values = isCompared ? 'in brackets a good unit' : 'voltages of a good unit';
    return {
      svg: circuitSvg({ layout: await layout, shown, isForPaper: true }),
      caption: `${positionWords(unit.style, shown.state.position)}; ! ${where}; ${values}`,
    };
  } catch (error) {
    // The sheet is worth more than its picture.
    if (error instanceof CircuitError || error instanceof InputError) return undefined;
    throw error;
  }
}
