// Reckons a build: currents from a run, the command line or the profile, ratings from the command line.

import { InputError } from '../input/index.js';
import {
  type Bearing,
  type Build,
  builtInput,
  hasCurrents,
  type KeptReadings,
  type PlannedCurrents,
  plannedCurrents,
  ratingsOf,
} from '../plan/index.js';
import { loadParts, type Parts, type ResolvedUnit } from '../profile/index.js';
import {
  type CommandIo,
  EXIT,
  jsonText,
  type NumberWanted,
  numberTold,
  type parseCommandArgs,
  UsageError,
} from './command.js';
import { comparedLines } from './ratings-compared.js';
import type { RATINGS_OPTIONS } from './ratings-options.js';
import { type RatingsTold, type RunTold, ratingsLines } from './ratings-text.js';
import { knownRun, noRuns, withStore } from './stored-runs.js';
import { celsiusTold, gaugeTyped } from './typed-units.js';
import { unitAsBuilt } from './unit-as-built.js';

export type RatingsValues = ReturnType<typeof parseCommandArgs<typeof RATINGS_OPTIONS>>['values'];

const AMPERES = { least: 0.01, most: 1000, example: 15 } as const;
/** Of the loop, on what moves something: common practice, and what published wiring pages call critical. */
const DROP_PERCENT = 3;
/** Published: opens in 4 to 40 s, some within 90 s. */
const PROTECTOR = { opensFromS: 4, opensToS: 90 } as const;

/** The exit code. @throws InputError for a profile or run that cannot be read, UsageError for numbers that cannot be */
export function ratings(profile: string, values: RatingsValues, io: CommandIo): number {
  const { circuit, compare } = values;
  const own = unitAsBuilt(profile, circuit);
  const beside = compare === undefined ? undefined : unitAsBuilt(profile, compare);
  refuseNothingToRate(beside === undefined ? [own] : [own, beside], values);
  const parts = loadParts({ unit: profile, also: values.parts });
  const first = reckoned(own, values, parts);
  if (beside === undefined) {
    if (values.json) io.stdout(jsonText(jsonOf(first)));
    else io.stdout(`${ratingsLines(first, columnsOf(io)).join('\n')}\n`);
    return exitOf(bearingsOf(first));
  }
  const other = reckoned(beside, values, parts);
  if (values.json) io.stdout(jsonText({ circuits: [first, other].map(jsonOf) }));
  else io.stdout(`${comparedLines(first, other, columnsOf(io)).join('\n')}\n`);
  return exitOf([first, other].flatMap(bearingsOf));
}

const MOST_COLUMNS = 100;
const columnsOf = ({ columns }: CommandIo): number => Math.min(columns, MOST_COLUMNS);

const jsonOf = ({
  unit,
  motors,
  pairs,
  currents,
  build: { parts: _, ...build },
  run,
  result,
}: RatingsTold): object => ({
  profile: unit.unit.id,
  circuit: unit.style.id,
  motors,
  ...(pairs === 1 ? {} : { pairs }),
  ...(run === undefined ? {} : { run }),
  currents,
  build,
  ...result,
});

/** @throws UsageError where the currents are not known, or cannot be */
export function reckoned(unit: ResolvedUnit, values: RatingsValues, parts: Parts): RatingsTold {
  refuseWithoutMotor(unit, values);
  const told = (name: keyof RatingsValues & string, wanted: NumberWanted = AMPERES): number | undefined => {
    const text = values[name];
    return typeof text === 'string' ? numberTold(name, text, wanted) : undefined;
  };
  const base = builtInput(unit, told('supply', { least: 0.1, most: 60, example: 13 }));
  const { voltageV } = base.supply;
  const { nominal, plusMinus } = unit.unit.temperatureC;
  const ambientC =
    celsiusTold('ambient-c', values['ambient-c'], { least: -60, most: 125, example: 40 }) ??
    nominal + plusMinus;
  const build: Build = {
    switchA: told('switch-a'),
    fuseA: told('fuse-a'),
    coilFuseA: told('coil-fuse-a'),
    makeA: told('make-a'),
    breakA: told('break-a'),
    wire: wireOf(unit, values, told),
    dropPercent: told('drop', { least: 0.1, most: 50, example: DROP_PERCENT }) ?? DROP_PERCENT,
    nominalVoltageV: unit.motor.nominalVoltageV,
    ambientC,
    duty: values.continuous ? 'continuous' : 'short',
    protector: unit.motor.protector ?? PROTECTOR,
    parts,
  };
  const run = values.run === undefined ? undefined : runNamed(values.run);
  const declared = { runningA: told('running-a'), startA: told('start-a'), heldA: told('held-a') };
  const currents = solved(() => plannedCurrents(unit, voltageV, declared, run?.kept));
  refuseUpsideDown(currents);
  const motors = told('motors', { least: 1, most: 20, example: 2, what: 'whole number' }) ?? 1;
  const input = { ...base, temperatureC: ambientC, wiring: build.wire };
  const pairs = told('pairs', { least: 1, most: 20, example: 2, what: 'whole number' }) ?? 1;
  const result = solved(() => ratingsOf(input, currents, build, { motors, pairs }));
  return { unit, currents, build, motors, pairs, result, ...(run === undefined ? {} : { run: run.told }) };
}

const GAUGES = { least: -4, most: 40, example: 14, what: 'whole number' } as const;

function wireOf(
  unit: ResolvedUnit,
  values: RatingsValues,
  told: (name: 'wire-mm2' | 'wire-awg' | 'wire-length', wanted: NumberWanted) => number | undefined,
): Build['wire'] {
  const { wiring } = unit.unit;
  const gauge = gaugeTyped(values['wire-mm2'] ?? '') ?? gaugeTyped(`AWG ${values['wire-awg'] ?? ''}`);
  if (gauge !== undefined) numberTold('wire-awg', String(gauge), GAUGES);
  const areaMm2 =
    gauge === undefined ? told('wire-mm2', { least: 0.05, most: 200, example: 2.5 }) : undefined;
  const awg = gauge ?? told('wire-awg', GAUGES);
  const lengthM = told('wire-length', { least: 0.01, most: 200, example: 3 }) ?? wiring.lengthM;
  if (areaMm2 !== undefined) return { lengthM, areaMm2 };
  return awg === undefined ? { ...wiring, lengthM } : { lengthM, awg };
}

/** What only relays have: told of a circuit without, it would be passed over in silence. */
function refuseNothingToRate(units: readonly ResolvedUnit[], values: RatingsValues): void {
  const hasRelays = units.some(({ style }) => style.elements.some(({ kind }) => kind === 'relay'));
  const asked = (['make-a', 'break-a', 'coil-fuse-a', 'pairs'] as const).find(
    (option) => values[option] !== undefined,
  );
  if (asked !== undefined && !hasRelays)
    throw new UsageError(
      `--${asked} is of relays, and ${units[0]?.style.id ?? 'this circuit'} has none: leave it out, or name a --circuit with relays`,
    );
}

function refuseWithoutMotor({ unit, load }: ResolvedUnit, values: RatingsValues): void {
  if (unit.subject === 'relay')
    throw new UsageError(`${unit.id} is a relay by itself: name a unit with a motor`);
  if (load !== undefined && (values['running-a'] === undefined || values['held-a'] === undefined))
    throw new UsageError(`${unit.id} has a known load in place of its motor: give --running-a and --held-a`);
}

/** Running, start, held: each more than the one before, or two of them stand in each other's place. */
function refuseUpsideDown({ running, start, held }: PlannedCurrents): void {
  if (held.most <= running.least)
    throw new UsageError(
      `held at ${held.most} A is no more than running at ${running.least} A: check --running-a and --held-a, or the run`,
    );
  if (start !== undefined && start.most < running.least)
    throw new UsageError(
      `a start of ${start.most} A is less than running at ${running.least} A: check --start-a`,
    );
}

/** What a run measured, and which one it was: of another unit, or a faulty one, is for a person to see. */
function runNamed(asked: string): { kept: KeptReadings; told: RunTold } {
  const record = withStore((store) => knownRun(store, asked));
  if (!record) throw noRuns(asked);
  const { runId, tag, profileTitle, verdict, judgement } = record;
  const kept = judgement?.measured ?? {};
  if (!hasCurrents(kept))
    throw new InputError({
      file: runId,
      what: 'it measured no current of a motor',
      mend: 'choose another run, or give --running-a and --held-a',
    });
  return { kept, told: { runId, tag, profileTitle, ...(verdict === undefined ? {} : { verdict }) } };
}

/** A current that cannot be, or that nobody knows, is for the command line to mend. */
function solved<T>(solve: () => T): T {
  try {
    return solve();
  } catch (error) {
    if (error instanceof RangeError) throw new UsageError(error.message);
    throw error;
  }
}

const bearingsOf = ({ result: { rows, voltages } }: RatingsTold): { bearing: Bearing }[] => [
  ...rows,
  ...voltages,
];

function exitOf(rows: readonly { bearing: Bearing }[]): number {
  if (rows.some(({ bearing }) => bearing === 'does-not-bear')) return EXIT.fail;
  return rows.every(({ bearing }) => bearing === 'bears') ? EXIT.pass : EXIT.cannotTell;
}
