// The circuit for the sheet of a failed run: small, the faulty place marked, what it does there beside a good unit.

import { createHash } from 'node:crypto';
import { CircuitError, type Fault } from '../circuit/index.js';
import { InputError } from '../input/index.js';
import { type CircuitStyle, type ResolvedUnit, restoredUnit } from '../profile/index.js';
import type { RunRecord } from '../records/index.js';
import { circuitSvg, compactMetrics, drawingOf, type Layout, laidOut } from '../reports/circuit/index.js';
import type { SheetCircuit } from '../reports/sheet/index.js';
import { causeIdsOf, foundIn } from './circuit-found.js';
import { positionWords, shownCircuit } from './circuit-shown.js';

/** Laid out once for all runs of one circuit with one faulty place. */
const layouts = new Map<string, Promise<Layout>>();

/** Solved and drawn once for all runs of one unit profile with the same causes, under a hash of both. */
const drawn = new Map<string, Promise<SheetCircuit | undefined>>();
/** Pictures that are kept, about 30 KB each: a shop's units and their usual faults. Choice of this program, no source. */
const MOST_DRAWN = 500;

/** Undefined where no cause was found that lies in the circuit, or the record cannot be drawn any more. */
export async function sheetCircuit(run: RunRecord): Promise<SheetCircuit | undefined> {
  const [finding] = run.judgement?.findings ?? [];
  if (run.verdict === 'pass' || finding === undefined) return undefined;
  const key = drawingKey(run.unit, causeIdsOf(finding));
  const picture = drawn.get(key) ?? draw(run);
  drawn.set(key, picture);
  const [oldest] = drawn.keys();
  if (drawn.size > MOST_DRAWN && oldest !== undefined) drawn.delete(oldest);
  return picture;
}

/** What a picture is drawn from; what the rig reads by, and what it has proven of itself, moves no voltage. */
function drawingKey(
  { rig, learned: _, learnedFile: __, ...unit }: ResolvedUnit,
  ids: readonly string[],
): string {
  const { scales: ___, proven: ____, ...circuitOfRig } = rig;
  return createHash('sha256')
    .update(JSON.stringify([unit, circuitOfRig, ids]))
    .digest('hex');
}

async function draw(run: RunRecord): Promise<SheetCircuit | undefined> {
  try {
    const unit = restoredUnit(run.unit, run.runId);
    const causes = foundIn(run, unit);
    if (causes.length === 0) return undefined;
    const { shown } = shownCircuit({ unit, causes });
    const isCompared = shown.good !== undefined;
    const layout = await layoutOf(unit.style, causes, isCompared);
    const where = causes.length === 1 ? 'the faulty place' : 'where it may be';
    const values = isCompared ? 'in brackets a good unit' : 'voltages of a good unit';
    return {
      svg: circuitSvg({ layout, shown, isForPaper: true }),
      caption: `${positionWords(unit.style, shown.state.position)}; ! ${where}; ${values}`,
    };
  } catch (error) {
    // The sheet is worth more than its picture.
    if (error instanceof CircuitError || error instanceof InputError) return undefined;
    throw error;
  }
}

function layoutOf(style: CircuitStyle, causes: readonly Fault[], isCompared: boolean): Promise<Layout> {
  const parts = new Set(causes.flatMap((cause) => cause.parts.map(({ id }) => id)));
  const key = JSON.stringify([isCompared, style, [...parts]]);
  const layout =
    layouts.get(key) ?? laidOut(drawingOf(style), compactMetrics(isCompared), (wire) => parts.has(wire));
  layouts.set(key, layout);
  return layout;
}
