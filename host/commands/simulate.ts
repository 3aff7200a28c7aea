// Simulates a unit of a profile, or a scenario, and tells, draws or writes what it reads.

import { writeFileSync } from 'node:fs';
import { resolve } from 'node:path';
import { sampleAt } from '../arrays/index.js';
import { bandInThreads } from '../bench/threads/index.js';
import { type Capture, CHANNEL, CHANNELS, type Channel, writeCaptureCsv } from '../capture/index.js';
import {
  CircuitError,
  type Fault,
  faultsOfUnit,
  nominalInput,
  notWeighedOf,
  simulatePlan,
  type UnitCircuitInput,
} from '../circuit/index.js';
import { nearestName } from '../input/index.js';
import { LEAD_IN_S, loadUnit, type ResolvedUnit } from '../profile/index.js';
import { type ChartBand, chartSvg } from '../reports/index.js';
import { bandBehind, textPlot, themeFor } from '../screens/index.js';
import { capitalised, fixed, listed, retold } from '../tell/index.js';
import { asTheRigReads } from './as-the-rig-reads.js';
import { type CommandIo, EXIT, jsonText, numberTold, type parseCommandArgs, UsageError } from './command.js';
import type { SIMULATE_OPTIONS } from './simulate-options.js';
import { simulateScenarios } from './simulate-scenario.js';
import { tableLines } from './table.js';
import { celsiusTold } from './typed-units.js';

const PLOT_ROWS = 7;
const MOST_COLUMNS = 120;
const DRAWS = { least: 1, most: 2000, example: 200 };
const TEMPERATURE = { least: -60, most: 200, example: 40 } as const;
/** Far below what a rig resolves. */
const MEANT_DECIMALS = 6;

/** @param positionals further scenario files */
export async function simulate(
  values: Values,
  positionals: readonly string[],
  io: CommandIo,
): Promise<number> {
  if (values.scenario !== undefined) return runScenarios(values, positionals, io);
  if (positionals.length > 0)
    throw new UsageError(`simulate takes options only; '${positionals[0]}' is none`);
  try {
    return await runProfile(values, io);
  } catch (error) {
    if (!(error instanceof CircuitError)) throw error;
    io.stderr(`throwbench simulate: ${error.problem.sentence}\n`);
    return EXIT.cannotTell;
  }
}

type Values = ReturnType<typeof parseCommandArgs<typeof SIMULATE_OPTIONS>>['values'];

/** Files beside the option are scenarios too, as a shell writes `--scenario *.yaml`. */
function runScenarios(values: Values, positionals: readonly string[], io: CommandIo): number {
  const { scenario = [], csv, json, ...others } = values;
  const stray = Object.entries(others).find(([, value]) => value !== undefined)?.[0];
  if (stray !== undefined)
    throw new UsageError(`--${stray} does not go with --scenario: the file states everything`);
  if (csv === undefined) throw new UsageError('--scenario needs --csv, the file or folder to write');
  return simulateScenarios([...scenario, ...positionals], csv, json === true, io);
}

/** What may be the matter and no run tells. */
function untold(unit: ResolvedUnit): string[] {
  const told = notWeighedOf(unit).map(
    ({ cause, why, nextProbe }) => `    ${capitalised(cause)}: ${why}. ${nextProbe}`,
  );
  return told.length === 0 ? [] : ['', 'Not told by any run on this rig:', ...told];
}

function runProfile(values: Values, io: CommandIo): number {
  if (values.profile === undefined) {
    throw new UsageError('simulate needs --profile, the id or file of a unit, or --scenario FILE');
  }
  const unit = loadUnit(values.profile);
  const known = faultsOfUnit(unit);
  if (values.faults) {
    io.stdout(
      values.json
        ? jsonText(known.map(({ edits: _edits, ways: _ways, ...fault }) => fault))
        : `${[...known.map(({ id, sentence }) => `${id}\n    ${sentence}`), ...untold(unit)].join('\n')}\n`,
    );
    return EXIT.pass;
  }
  const faults = (values.fault ?? []).map((id) => faultNamed(known, id, unit));
  const { station } = values;
  const stations = Object.keys(unit.style.stations);
  if (station !== undefined && !stations.includes(station)) {
    const mend = stations.length > 0 ? `use ${stations.join(' or ')}` : `circuit ${unit.style.id} has none`;
    throw new UsageError(`no station ${station}: ${mend}`);
  }
  const base = nominalInput(unit);
  const input: UnitCircuitInput = {
    ...base,
    supply: {
      ...base.supply,
      voltageV:
        numberTold('supply', values.supply, { least: 0.1, most: 60, example: 13 }) ?? base.supply.voltageV,
    },
    temperatureC: celsiusTold('temperature', values.temperature, TEMPERATURE) ?? base.temperatureC,
    faults,
    ...(values['held-rotor'] ? { rotorHeld: true } : {}),
  };
  const draws = numberTold('draws', values.draws, DRAWS);
  const capture = simulatePlan(input, unit.plan, station === undefined ? {} : { station });
  const band = draws === undefined ? undefined : bandInThreads(unit, { draws: Math.round(draws) });
  if (values.csv !== undefined) {
    const bytes = writeCaptureCsv(capture, { precision: { decimals: MEANT_DECIMALS } });
    writeFileSync(resolve(io.cwd, values.csv), bytes);
  }
  const drawn = { ...capture, channels: asTheRigReads(capture.channels, unit) };
  const drawnBand = band && {
    timeS: band.timeS,
    lower: asTheRigReads(band.lower, unit),
    upper: asTheRigReads(band.upper, unit),
  };
  const conditions = conditionsOf(unit, input, faults, values);
  if (values.svg !== undefined) {
    const svg = chartSvg({
      capture: drawn,
      title: unit.unit.title,
      subtitle: conditions,
      ...(drawnBand ? { band: drawnBand } : {}),
    });
    writeFileSync(resolve(io.cwd, values.svg), svg);
  }
  const levels = stepLevels(capture, unit);
  if (values.json) {
    const told = {
      profile: unit.unit.id,
      circuit: unit.style.id,
      faults: faults.map(({ id }) => id),
      conditions,
      steps: levels,
    };
    io.stdout(jsonText(told));
    return EXIT.pass;
  }
  io.stdout(`${unit.unit.title}\n${conditions}\n`);
  for (const { sentence } of faults) io.stdout(`Fault: ${sentence}\n`);
  io.stdout(`\n${drawing(drawn, drawnBand, io).join('\n')}\n\n${levelTable(levels).join('\n')}\n`);
  return EXIT.pass;
}

function faultNamed(known: readonly Fault[], id: string, unit: ResolvedUnit): Fault {
  const fault = known.find((each) => each.id === id);
  if (fault) return fault;
  const ids = known.map((each) => each.id);
  const near = nearestName(id, ids);
  const mend = near === undefined ? '--faults lists them' : `did you mean ${near}?`;
  throw new UsageError(`circuit ${unit.style.id} has no fault ${id}: ${mend}`);
}

function conditionsOf(
  unit: ResolvedUnit,
  input: UnitCircuitInput,
  faults: readonly Fault[],
  values: Values,
): string {
  return [
    unit.style.title,
    faults.length === 0 ? 'healthy' : listed(faults.map(({ cause }) => cause)),
    `${input.supply.voltageV} V`,
    retold(`${input.temperatureC} °C`),
    ...(input.rotorHeld ? ['rotor held'] : []),
    ...(values.station === undefined ? [] : [`thrown from ${values.station}`]),
    ...(values.draws === undefined ? [] : [`band of ${values.draws} good units`]),
  ].join('; ');
}

interface StepLevels {
  position: string;
  feed: string;
  fromS: number;
  toS: number;
  /** At the step's last sample. */
  atEnd: Partial<Record<Channel, number>>;
  /** Largest motor current of the step, either sign. */
  peakMotorCurrentA: number;
}

/** Readings at the end of each step, and the peak that comes before. */
function stepLevels(capture: Capture, unit: ResolvedUnit): StepLevels[] {
  let fromS = LEAD_IN_S;
  return unit.plan.steps.map(({ position, feed, durationS }) => {
    const toS = fromS + durationS;
    const first = Math.round(fromS * capture.sampleRateHz);
    const last = Math.min(capture.timeS.length, Math.round(toS * capture.sampleRateHz)) - 1;
    const atEnd: StepLevels['atEnd'] = {};
    for (const channel of CHANNELS) {
      const values = capture.channels[channel];
      if (values) atEnd[channel] = rounded(sampleAt(values, last));
    }
    const motor = capture.channels.motorCurrentA?.subarray(first, last + 1) ?? new Float64Array();
    const peak = motor.reduce((most, value) => (Math.abs(value) > Math.abs(most) ? value : most), 0);
    const levels = { position, feed, fromS: rounded(fromS), toS: rounded(toS) };
    fromS = toS;
    return { ...levels, atEnd, peakMotorCurrentA: rounded(peak) };
  });
}

/** No `-0`. */
const rounded = (value: number): number =>
  Math.round(value * 10 ** MEANT_DECIMALS) / 10 ** MEANT_DECIMALS + 0;

function drawing(capture: Capture, band: ChartBand | undefined, io: CommandIo): string[] {
  const { unicode, dots = 'blocks' } = themeFor(process.env);
  return CHANNELS.filter((channel) => CHANNEL[channel].isTraced).flatMap((channel) => {
    const { label, unit } = CHANNEL[channel];
    const value = capture.channels[channel];
    if (!value) return [];
    return textPlot({
      title: label,
      unit,
      series: { timeS: capture.timeS, value },
      ...bandBehind(band, channel),
      columns: Math.min(MOST_COLUMNS, io.columns),
      rows: PLOT_ROWS,
      fromS: 0,
      toS: capture.timeS.at(-1) ?? 1,
      ...{ unicode, dots },
    });
  });
}

/** Columns of the table of levels, about the motor's peak. */
const BEFORE_PEAK: readonly Channel[] = ['leadAVoltageV', 'leadBVoltageV', 'motorCurrentA'];
const BEHIND_PEAK: readonly Channel[] = ['feedCurrentA', 'coilCurrentA'];

function levelTable(levels: readonly StepLevels[]): string[] {
  const heads = (channels: readonly Channel[]): string[] =>
    channels.map((channel) => `${CHANNEL[channel].short} ${CHANNEL[channel].unit}`);
  const head = ['step', 'feed', ...heads(BEFORE_PEAK), 'peak A', ...heads(BEHIND_PEAK)];
  const rows = levels.map(({ position, feed, atEnd, peakMotorCurrentA }) => {
    // One more decimal than a live reading: nothing here is noise.
    const cells = (channels: readonly Channel[]): string[] =>
      channels.map((channel) => fixed(atEnd[channel] ?? Number.NaN, CHANNEL[channel].decimals + 1));
    return [position, feed, ...cells(BEFORE_PEAK), fixed(peakMotorCurrentA, 2), ...cells(BEHIND_PEAK)];
  });
  return tableLines([head, ...rows], (column) => column > 1);
}
