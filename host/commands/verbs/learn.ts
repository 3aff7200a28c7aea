// `throwbench learn`: limits from known good units, as a part of a profile. No rig, and no run is made.

import { JSON_OPTION, PROFILE_OPTION } from '../bench-named.js';
import { CAPTURE_OPTIONS } from '../capture-options.js';
import type { CaptureTold } from '../capture-told.js';
import { type CommandIo, numberTold, refuseMore, UsageError } from '../command.js';
import { declared } from '../declared.js';

/** Options that learning by a clamp takes. */
const OF_CLAMP = new Set<string>([
  ...['clamp', 'captures', 'title', 'out', 'by', 'coverage', 'confidence'],
  ...Object.keys(CAPTURE_OPTIONS),
]);

type ClampSaid = CaptureTold & {
  [name in 'captures' | 'title' | 'out' | 'by' | 'coverage' | 'confidence']?: string | undefined;
};

const PART = { least: 0.5, most: 0.9999, example: 0.95 } as const;
/** Fewer give a spread that is chance for the most part. Choice of this program, no source. */
const BASE = { least: 5, most: 1000, example: 10, what: 'whole number' } as const;
const UNITS = { least: 1, most: 10000, example: 6, what: 'whole number' } as const;

export const command = declared(
  {
    calls: [
      'learn --profile P (--runs RUN,RUN,… | --captures FOLDER [--units N]) [options] [--out FILE]',
      'learn --profile P (--runs RUN,RUN,… | --captures FOLDER) --against FILE [--test TAG] [--svg FILE] [--json]',
      'learn --clamp --captures FOLDER [--title TEXT] [options] [--out FILE]',
      'learn --profile P --drift TAG [--base N]',
    ],
    options: {
      profile: { ...PROFILE_OPTION, words: 'what the units are: an id, or the path of a YAML file' },
      runs: {
        type: 'string',
        value: 'RUN,…',
        words:
          'recorded runs of known good units, by their ids in throwbench log; runs of one tag are starts of one unit',
        offer: 'run',
      },
      captures: {
        type: 'string',
        value: 'FOLDER',
        words: `captures of known good units, one CSV a run; the file's name up to the first _ is the unit's tag:
          V-0107_1.csv and V-0107_2.csv are two starts of one unit`,
        offer: 'folder',
      },
      drift: {
        type: 'string',
        value: 'TAG',
        words: `charts of all recorded runs of one known good unit, such as the one run every morning: has it, its
          leads or the rig moved, and since which run`,
      },
      base: {
        type: 'string',
        value: 'N',
        words: 'with --drift: the first N runs tell what the unit was like (default 10)',
      },
      clamp: {
        type: 'boolean',
        words: `without any profile: captures of one current alone, by a clamp and a scope, teach what good units of
          this kind read and how they start; judge --clamp holds others to that. No circuit is claimed`,
      },
      title: { type: 'string', value: 'TEXT', words: 'with --clamp: what these units are' },
      against: {
        type: 'string',
        value: 'FILE',
        words: `holds these units, failed ones too, against the limits of that file and learns nothing: how many lie
          outside, Cp and Cpk with their 95 %, every unit and start as a dot`,
        offer: 'file',
      },
      test: {
        type: 'string',
        value: 'TAG',
        words: 'with --against: the unit under test, drawn beside the batch and not counted to it',
      },
      svg: { type: 'string', value: 'FILE', words: 'with --against: the dots as a picture', offer: 'file' },
      units: {
        type: 'string',
        value: 'N',
        words: 'so many units there are: refused where the tags say otherwise',
      },
      'ambient-c': {
        type: 'string',
        value: 'C',
        words: 'ambient of all these runs by a thermometer, °C or such as 54F',
      },
      coverage: {
        type: 'string',
        value: 'X',
        words: 'part of good units that all limits together hold (default 0.95)',
      },
      confidence: { type: 'string', value: 'X', words: 'how sure that is (default 0.9)' },
      'keep-odd': { type: 'boolean', words: 'learn from a unit that stands apart from the others too' },
      by: {
        type: 'string',
        value: 'NAME',
        words: 'with --out: who learned them; else the operator of the settings',
      },
      json: { ...JSON_OPTION, words: 'with --against: for programs' },
      out: {
        type: 'string',
        value: 'FILE',
        words: `where to write the limits; a file that is there is never overwritten, and the record keeps its
          SHA-256. Without it they are only told`,
        offer: 'file',
      },
      ...CAPTURE_OPTIONS,
    },
    notes: `Then: judge, run and tray take them with --learned FILE, or from learned: FILE in the unit's profile. Three
      units are needed, ten make useful limits; one or two are told as a comparison. --column and what else tells of an
      instrument's files goes with --clamp, as with judge; give judge the same ones.`,
    examples: [
      'learn --profile window-lift-switch --runs 2024-06-11-0001,2024-06-11-0002,2024-06-12-0001 --out good.yaml',
      'learn --profile window-lift-alone --captures good --units 10 --ambient-c 20 --out good.yaml',
      'learn --profile window-lift-alone --captures batch --against good.yaml --test V-0130 --svg dots.svg',
      'learn --clamp --captures good --title "Awning motor" --out awning.yaml',
      'learn --profile window-lift-alone --drift V-0100',
    ],
    exit: '0 learned, or nothing moved or lies outside, 1 something moved or lies outside, 2 bad input, 3 not enough units or runs, or one stands apart',
  },
  async ({ values, positionals }, io) => {
    refuseMore(positionals);
    const { profile, runs, captures, out, by } = values;
    if (values.clamp) return learnClamp(values, io);
    if (values.title !== undefined) throw new UsageError('--title goes with --clamp: a profile has its own');
    if (!profile) throw new UsageError('--profile P is missing: what are the units?');
    const ofFile = Object.keys(CAPTURE_OPTIONS).find((name) => isSaid(values[name as keyof typeof values]));
    if (ofFile !== undefined) throw new UsageError(`--${ofFile} goes with --clamp`);
    const base = numberTold('base', values.base, BASE);
    if (values.drift !== undefined) {
      const { profile: _, drift: __, base: ___, ...others } = values;
      if (Object.values(others).some((value) => value !== undefined && value !== false))
        throw new UsageError('--drift goes with --profile and --base alone: it charts what is recorded');
      return (await import('../drift.js')).driftFrom({ tag: values.drift, profile, base }, io);
    }
    if (base !== undefined) throw new UsageError('--base goes with --drift');
    if ((runs === undefined) === (captures === undefined))
      throw new UsageError('learn takes --runs RUN,RUN,… or --captures FOLDER, one of the two');
    const { against, test, svg, json } = values;
    if (against !== undefined) {
      const ofLearning = [values.units, out, by, values.coverage, values.confidence];
      if (values['keep-odd'] || ofLearning.some((value) => value !== undefined))
        throw new UsageError('--against learns nothing: leave --out, --units, --coverage and the like out');
      const batch = { profile, runs, captures, against, test, svg, json, 'ambient-c': values['ambient-c'] };
      return (await import('../learn-batch.js')).batchAgainst(batch, io);
    }
    if (test !== undefined || svg !== undefined || json)
      throw new UsageError(
        '--test, --svg and --json go with --against FILE, whose limits they are drawn beside',
      );
    if (by !== undefined && out === undefined)
      throw new UsageError('--by goes with --out: it says who wrote the file');
    const coverage = numberTold('coverage', values.coverage, PART);
    const confidence = numberTold('confidence', values.confidence, PART);
    const units = numberTold('units', values.units, UNITS);
    const asked = {
      ...{ profile, runs, captures, units, out, by, coverage, confidence },
      ...{ 'ambient-c': values['ambient-c'], keepOdd: values['keep-odd'] === true },
    };
    return (await import('../learn.js')).learnFrom(asked, io);
  },
);

const isSaid = (value: unknown): boolean => value !== undefined && value !== false;

/** @throws UsageError for what only learning with a profile has */
async function learnClamp(values: ClampSaid, io: CommandIo): Promise<number> {
  const { captures, title, out, by } = values;
  const strange = Object.entries(values).find(([name, value]) => isSaid(value) && !OF_CLAMP.has(name));
  if (strange)
    throw new UsageError(
      `--${strange[0]} does not go with --clamp, which takes --captures, --title, --out and what tells of the files`,
    );
  if (captures === undefined) throw new UsageError('--clamp takes --captures FOLDER: one CSV a run');
  if (by !== undefined && out === undefined)
    throw new UsageError('--by goes with --out: it says who wrote the file');
  const asked = {
    ...values,
    ...{ captures, title, out, by },
    coverage: numberTold('coverage', values.coverage, PART),
    confidence: numberTold('confidence', values.confidence, PART),
  };
  return (await import('../clamp.js')).learnFromClamp(asked, io);
}
