// Draws a unit's circuit: of a profile, with or without a fault, or as a recorded run found it.

import type { Position } from '../capture/index.js';
import { CircuitError, type Fault, faultsOfUnit, motorOf, placeWords } from '../circuit/index.js';
import { nearestName } from '../input/index.js';
import { coloursOf, type ResolvedUnit, restoredUnit } from '../profile/index.js';
import type { RunRecord } from '../records/index.js';
import {
  cellLayout,
  circuitSvg,
  circuitText,
  drawingOf,
  laidOut,
  svgMetrics,
} from '../reports/circuit/index.js';
import { VERDICT_WORDS, wrapWords } from '../tell/index.js';
import { foundIn } from './circuit-found.js';
import {
  BUILD_TERMINALS,
  measuredWords,
  positionWords,
  type ShownCircuit,
  shownCircuit,
  wireLines,
} from './circuit-shown.js';
import { type CommandIo, EXIT, jsonText, UsageError } from './command.js';
import { knownRun, noRuns, withStore } from './stored-runs.js';
import { asBuilt } from './unit-as-built.js';
import { loadWords } from './wiring-content.js';
import { writeNew } from './write-new.js';

export interface CircuitAsked {
  profile: string | undefined;
  run: string | undefined;
  circuit: string | undefined;
  position: Position | undefined;
  station: string | undefined;
  fault: string | undefined;
  colours: Readonly<Record<string, string>>;
  svg: string | undefined;
  json: boolean;
}

const MOST_COLUMNS = 120;
const NOTE_LETTERS = 110;

/** The exit code. @throws InputError for a profile, run or file that cannot be read or written; UsageError */
export async function circuit(asked: CircuitAsked, io: CommandIo): Promise<number> {
  try {
    return await drawn(asked, io);
  } catch (error) {
    if (!(error instanceof CircuitError)) throw error;
    io.stderr(`throwbench circuit: ${error.problem.sentence}\n`);
    return EXIT.cannotTell;
  }
}

async function drawn(asked: CircuitAsked, io: CommandIo): Promise<number> {
  const { colours, position, station, svg, json } = asked;
  const run = asked.run === undefined ? undefined : runNamed(asked.run);
  const { unit, fault } =
    run === undefined
      ? asBuilt(asked.profile ?? '', asked.circuit)
      : { unit: restoredUnit(run.unit, run.runId), fault: undefined };
  refuseColours(unit, colours);
  refuseStation(unit, station);
  const causes =
    run !== undefined ? foundIn(run, unit) : asked.fault === undefined ? [] : [faultNamed(unit, asked.fault)];
  const whole = shownCircuit({ unit, position, station, causes, colours, isBuilt: run === undefined });
  const { shown } = whole;
  if (json) {
    io.stdout(jsonText(jsonOf(unit, whole, causes)));
    return EXIT.pass;
  }
  const isCompared = shown.good !== undefined;
  // A motor or relay by itself hangs on the rig, whoever draws it.
  const isBuild = run === undefined && unit.style.subject === undefined;
  const drawing = drawingOf(unit.style, isBuild ? BUILD_TERMINALS : {});
  const title =
    run === undefined ? `${unit.unit.title}: ${unit.style.title}` : `${run.tag}: ${unit.style.title}`;
  const subtitle = [
    positionWords(unit.style, shown.state.position, station),
    ...(run === undefined
      ? []
      : [`run ${run.runId}${run.verdict === undefined ? '' : `, ${VERDICT_WORDS[run.verdict]}`}`]),
    ...(isCompared ? ['with the fault; in brackets a good unit'] : runningWords(unit)),
  ].join('; ');
  const notes = [
    ...(fault === undefined ? [] : [`! ${fault.message}.`]),
    ...notesOf(unit, whole, causes, run),
  ];
  if (svg !== undefined) {
    const layout = await laidOut(drawing, svgMetrics(isCompared));
    const lines = [...notes, ...wireLines(whole)].flatMap((line) => wrapWords(line, NOTE_LETTERS));
    writeNew(io, svg, circuitSvg({ layout, shown, title, subtitle, notes: lines }), 'picture written');
    return EXIT.pass;
  }
  const columns = Math.min(io.columns, MOST_COLUMNS);
  const layout = await cellLayout(drawing, isCompared, columns);
  const wrapped = (text: string): string[] => wrapWords(text, columns);
  const lines = [
    ...wrapped(title),
    ...wrapped(subtitle),
    '',
    ...circuitText(layout, shown),
    '',
    ...notes.flatMap(wrapped),
    ...(notes.length > 0 ? [''] : []),
    ...wireLines(whole).flatMap(wrapped),
    ...wrapped(CROSSING),
  ];
  io.stdout(`${lines.join('\n')}\n`);
  return EXIT.pass;
}

/** What the currents are of; nothing where nothing turns. */
const runningWords = ({ style, load }: ResolvedUnit): string[] =>
  style.elements.some(({ kind }) => kind === 'motor') ? [loadWords(load)] : [];

const CROSSING = 'Lines that cross are not joined. Voltages are to ground; a number in a line is its wire.';

function runNamed(name: string): RunRecord {
  const run = withStore((store) => knownRun(store, name));
  if (run === undefined) throw noRuns(name);
  return run;
}

function faultNamed(unit: ResolvedUnit, id: string): Fault {
  const known = faultsOfUnit(unit);
  const fault = known.find((each) => each.id === id);
  if (fault !== undefined) return fault;
  const near = nearestName(
    id,
    known.map((each) => each.id),
  );
  const mend = near === undefined ? 'simulate --faults lists them' : `did you mean ${near}?`;
  throw new UsageError(`circuit ${unit.style.id} has no fault ${id}: ${mend}`);
}

function refuseStation({ style }: ResolvedUnit, station: string | undefined): void {
  const known = Object.keys(style.stations);
  if (station === undefined || known.includes(station)) return;
  const mend = known.length > 0 ? `use ${known.join(' or ')}` : `circuit ${style.id} has none`;
  throw new UsageError(`no station ${station}: ${mend}`);
}

/** @throws UsageError for a wire that the circuit has not, or a colour that is none */
export function refuseColours({ style }: ResolvedUnit, colours: Readonly<Record<string, string>>): void {
  const wires = style.elements.flatMap(({ kind, id }) => (kind === 'wire' ? [id] : []));
  for (const [wire, colour] of Object.entries(colours)) {
    if (!wires.includes(wire)) {
      const near = nearestName(wire, wires);
      const mend = near === undefined ? `use one of ${wires.join(', ')}` : `did you mean ${near}?`;
      throw new UsageError(`--colour: circuit ${style.id} has no wire ${wire}: ${mend}`);
    }
    if (coloursOf(colour).length === 0)
      throw new UsageError(
        `--colour ${wire}=${colour}: use the letters of IEC 60757, such as RD, or GNYE for green with yellow`,
      );
  }
}

/** Cause first, then expected against measured. */
export function notesOf(
  { style }: ResolvedUnit,
  { shown }: ShownCircuit,
  causes: readonly Fault[],
  run: Pick<RunRecord, 'judgement'> | undefined,
): string[] {
  const { state, good = state } = shown;
  const [first, second] = causes;
  const motorId = style.elements.some(({ kind }) => kind === 'motor') ? motorOf(style).id : '';
  const measured = measuredWords(run?.judgement?.measured ?? {}, state.position, good, motorId);
  return [
    ...(first === undefined ? [] : second === undefined ? [`! ${first.sentence}`] : SEVERAL),
    ...(second === undefined ? [] : causes.map(({ sentence }) => `! ${sentence}`)),
    ...(measured === '' ? [] : [`Measured, in brackets a good unit: ${measured}.`]),
    ...(first === undefined ? [] : [`Next: ${run?.judgement?.findings[0]?.nextProbe ?? first.nextProbe}`]),
  ];
}
const SEVERAL = ['The readings are the same for each marked place; voltages are those of a good unit.'];

function jsonOf(unit: ResolvedUnit, { shown, connections }: ShownCircuit, causes: readonly Fault[]): object {
  const { state, good } = shown;
  return {
    profile: unit.unit.id,
    circuit: unit.style.id,
    position: state.position,
    ...(causes.length === 0 ? {} : { faults: causes.map(({ id }) => id) }),
    feedCurrentA: state.feedCurrentA,
    coilCurrentA: state.coilCurrentA,
    places: Object.entries(state.voltageV).map(([node, voltageV]) => ({
      node,
      words: placeWords(unit.style, node),
      voltageV,
      ...(good === undefined ? {} : { goodVoltageV: good.voltageV[node] }),
    })),
    wires: connections.map(({ size, isRigOwn, ...wire }) => ({
      ...wire,
      ...size,
      ...(isRigOwn ? { rigOwn: true } : {}),
      currentA: state.currentA[wire.id],
      ...(good === undefined ? {} : { goodCurrentA: good.currentA[wire.id] }),
    })),
  };
}
