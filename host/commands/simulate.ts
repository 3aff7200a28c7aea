// `throwbench simulate`: what one should see of a unit, healthy or with a fault; or of a scenario that states all itself.

import { writeFileSync } from 'node:fs';
import { resolve } from 'node:path';
import { bandInThreads } from '../bench/index.js';
import { type Capture, CHANNELS, type Channel, writeCaptureCsv } from '../capture/index.js';
import {
  CircuitError,
  type Fault,
  faultsOfUnit,
  LEAD_IN_S,
  nominalInput,
  simulatePlan,
  type UnitCircuitInput,
} from '../circuit/index.js';
import { loadUnit, nearestName, type ResolvedUnit } from '../profile/index.js';
import { type ChartBand, chartSvg } from '../reports/index.js';
import { CHANNEL_LABELS, textPlot, themeFor } from '../screens/index.js';
import { type Command, type CommandIo, EXIT, parseCommandArgs, UsageError } from './command.js';
import { simulateScenario } from './simulate-scenario.js';

const SHOWN: readonly Channel[] = ['motorCurrentA', 'leadAVoltageV', 'leadBVoltageV'];
const PLOT_ROWS = 7;
const MOST_COLUMNS = 120;
const MOST_DRAWS = 2000;

const OPTIONS = {
  profile: { type: 'string' },
  fault: { type: 'string', multiple: true },
  csv: { type: 'string' },
  svg: { type: 'string' },
  draws: { type: 'string' },
  supply: { type: 'string' },
  temperature: { type: 'string' },
  station: { type: 'string' },
  'held-rotor': { type: 'boolean' },
  faults: { type: 'boolean' },
  scenario: { type: 'string' },
  json: { type: 'boolean' },
} as const;

export const simulateCommand: Command = {
  name: 'simulate',
  summary: 'show what a unit should do, or what a fault would do',
  usage: `throwbench simulate --profile P [--fault ID] [--csv FILE] [--svg FILE] [--draws N] [--json]
throwbench simulate --scenario FILE --csv OUT [--json]

  --profile P      profile of the unit: an id, or the path of a YAML file
  --fault ID       with this fault of the profile's circuit; may be given several times
  --faults         list the faults that the profile's circuit can have, and stop
  --draws N        behind the traces the band of N good units, drawn from the profile's tolerances
  --supply V       open-circuit voltage of the supply
  --temperature C  of motor, coils and wires
  --held-rotor     the shaft cannot turn
  --station NAME   throw from another place of the circuit, such as a second switch
  --csv FILE       write the capture; --svg FILE draws it as a picture
  --scenario FILE  a circuit that the file states completely; needs --csv
  --json           readings as JSON in place of the drawing

Exit status: 0 simulated, 2 bad input, 3 the circuit cannot be solved.`,
  async run(args, io) {
    const { values, positionals } = parseCommandArgs(args, OPTIONS);
    if (positionals.length > 0)
      throw new UsageError(`simulate takes options only; '${positionals[0]}' is none`);
    try {
      if (values.scenario !== undefined) return runScenario(values, io);
      return await runProfile(values, io);
    } catch (error) {
      if (!(error instanceof CircuitError)) throw error;
      io.stderr(`throwbench simulate: ${error.problem.sentence}\n`);
      return EXIT.cannotTell;
    }
  },
};

type Values = ReturnType<typeof parseCommandArgs<typeof OPTIONS>>['values'];

function runScenario(values: Values, io: CommandIo): number {
  const { scenario, csv, json, ...others } = values;
  const stray = Object.entries(others).find(([, value]) => value !== undefined)?.[0];
  if (stray !== undefined)
    throw new UsageError(`--${stray} does not go with --scenario: the file states everything`);
  if (csv === undefined) throw new UsageError('--scenario needs --csv, the file to write');
  const { text, summary } = simulateScenario(resolve(io.cwd, scenario!));
  writeFileSync(resolve(io.cwd, csv), text);
  io.stdout(json ? `${JSON.stringify(summary, null, 2)}\n` : `wrote ${summary.samples} samples to ${csv}\n`);
  return EXIT.pass;
}

async function runProfile(values: Values, io: CommandIo): Promise<number> {
  if (values.profile === undefined) {
    throw new UsageError('simulate needs --profile, the id or file of a unit, or --scenario FILE');
  }
  const unit = loadUnit(values.profile);
  const known = faultsOfUnit(unit);
  if (values.faults) {
    io.stdout(
      values.json
        ? `${JSON.stringify(
            known.map(({ edits: _, ...fault }) => fault),
            null,
            2,
          )}\n`
        : `${known.map(({ id, sentence }) => `${id}\n    ${sentence}`).join('\n')}\n`,
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
      voltageV: numberOf(values.supply, '--supply', 0.1, 60) ?? base.supply.voltageV,
    },
    temperatureC: numberOf(values.temperature, '--temperature', -60, 200) ?? base.temperatureC,
    faults: faults.map(({ id }) => id),
    ...(values['held-rotor'] ? { rotorHeld: true } : {}),
  };
  const draws = numberOf(values.draws, '--draws', 1, MOST_DRAWS);
  const capture = simulatePlan(input, unit.plan, station === undefined ? {} : { station });
  const band = draws === undefined ? undefined : await bandInThreads(unit, { draws: Math.round(draws) });
  if (values.csv !== undefined) writeFileSync(resolve(io.cwd, values.csv), writeCaptureCsv(capture));
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
      faults: input.faults,
      conditions,
      steps: levels,
    };
    io.stdout(`${JSON.stringify(told, null, 2)}\n`);
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
  const near = nearestName(
    id,
    known.map((each) => each.id),
  );
  const mend = near === undefined ? '--faults lists them' : `did you mean ${near}?`;
  throw new UsageError(`circuit ${unit.style.id} has no fault ${id}: ${mend}`);
}

function numberOf(text: string | undefined, option: string, least: number, most: number): number | undefined {
  if (text === undefined) return undefined;
  const value = Number(text);
  if (text.trim() !== '' && value >= least && value <= most) return value;
  throw new UsageError(`${option} ${text}: give a number from ${least} to ${most}`);
}

function conditionsOf(
  unit: ResolvedUnit,
  input: UnitCircuitInput,
  faults: readonly Fault[],
  values: Values,
): string {
  return [
    unit.style.title,
    faults.length === 0 ? 'healthy' : `with ${faults.map(({ id }) => id).join(', ')}`,
    `${input.supply.voltageV} V`,
    `${input.temperatureC} C`,
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
  atEnd: Record<Channel, number>;
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
    const atEnd = Object.fromEntries(CHANNELS.map((name) => [name, rounded(capture.channels[name]![last]!)]));
    const motor = capture.channels.motorCurrentA!.subarray(first, last + 1);
    const peak = motor.reduce((most, value) => (Math.abs(value) > Math.abs(most) ? value : most), 0);
    const levels = { position, feed, fromS: rounded(fromS), toS: rounded(toS) };
    fromS = toS;
    return { ...levels, atEnd: atEnd as Record<Channel, number>, peakMotorCurrentA: rounded(peak) };
  });
}

type Readings = Partial<Record<Channel, Float64Array>>;

/** Clipped to what the rig can read, so that the microseconds of a suppressor do not set the scale of a picture. */
function asTheRigReads(channels: Readings, { rig }: ResolvedUnit): Readings {
  return Object.fromEntries(
    Object.entries(channels).map(([name, values]) => {
      const { atZeroCount, perCount } = rig.scales[name as Channel];
      const highest = atZeroCount + perCount * (2 ** rig.adcBits - 1);
      return [name, values.map((value) => Math.min(highest, Math.max(atZeroCount, value)))];
    }),
  );
}

/** Six decimals: far below what a rig resolves; no `-0`. */
const rounded = (value: number): number => Math.round(value * 1e6) / 1e6 + 0;

function drawing(capture: Capture, band: ChartBand | undefined, io: CommandIo): string[] {
  const { unicode } = themeFor(process.env);
  return SHOWN.flatMap((channel) => {
    const lower = band?.lower[channel];
    const upper = band?.upper[channel];
    return textPlot({
      title: CHANNEL_LABELS[channel],
      unit: channel.endsWith('A') ? 'A' : 'V',
      series: { timeS: capture.timeS, value: capture.channels[channel]! },
      ...(band && lower && upper ? { band: { timeS: band.timeS, lower, upper } } : {}),
      columns: Math.min(MOST_COLUMNS, io.columns),
      rows: PLOT_ROWS,
      fromS: 0,
      toS: capture.timeS.at(-1) ?? 1,
      ascii: !unicode,
    });
  });
}

function levelTable(levels: readonly StepLevels[]): string[] {
  const head = ['step', 'feed', 'lead A V', 'lead B V', 'motor A', 'peak A', 'feed A', 'coil A'];
  const rows = levels.map(({ position, feed, atEnd, peakMotorCurrentA }) => [
    position,
    feed,
    plain(atEnd.leadAVoltageV, 2),
    plain(atEnd.leadBVoltageV, 2),
    plain(atEnd.motorCurrentA, 2),
    plain(peakMotorCurrentA, 2),
    plain(atEnd.feedCurrentA, 2),
    plain(atEnd.coilCurrentA, 3),
  ]);
  return [head, ...rows].map((row) =>
    row
      .map((text, i) => (i < 2 ? text.padEnd(8) : text.padStart(9)))
      .join(' ')
      .trimEnd(),
  );
}

/** Fixed decimals without a minus before zero. */
function plain(value: number, decimals: number): string {
  const text = value.toFixed(decimals);
  return Number(text) === 0 ? text.replace('-', '') : text;
}
