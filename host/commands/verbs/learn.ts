// `throwbench learn`: limits from known good units, as a part of a profile. No rig, and no record is made.

import { type Command, numberTold, parseCommandArgs, refuseMore, UsageError } from '../command.js';

const PART = { least: 0.5, most: 0.9999, example: 0.95 } as const;
const UNITS = { least: 1, most: 10000, example: 6, what: 'whole number' } as const;

export const command: Command = {
  usage: `usage: throwbench learn --profile P (--runs RUN,RUN,… | --captures FOLDER [--units N]) [options] [--out FILE]

  --profile P       what the units are: an id, or the path of a YAML file
  --runs RUN,…      recorded runs of known good units, by their ids in throwbench log; runs of one tag are starts of one unit
  --captures FOLDER captures of known good units, one CSV a run; the file's name up to the first _ is the unit's tag:
                    V-0107_1.csv and V-0107_2.csv are two starts of one unit
  --units N         so many units there are: refused where the tags say otherwise
  --ambient-c C     ambient of all these runs by a thermometer
  --coverage X      part of good units that all limits together hold (default 0.95)
  --confidence X    how sure that is (default 0.9)
  --keep-odd        learn from a unit that stands apart from the others too
  --out FILE        where to write the limits; a file that is there is never overwritten. Without it they are only told

Then: judge, run and tray take them with --learned FILE, or from \`learned: FILE\` in the unit's profile.
Three units are needed, ten make useful limits; one or two are told as a comparison.

examples:
  throwbench learn --profile window-lift-switch --runs 2024-06-11-0001,2024-06-11-0002,2024-06-12-0001 --out good.yaml
  throwbench learn --profile window-lift-alone --captures good --units 10 --ambient-c 20 --out good.yaml

exit status: 0 learned, 2 bad input, 3 not enough units, or one stands apart.`,
  async run(args, io) {
    const { values, positionals } = parseCommandArgs(args, {
      profile: { type: 'string' },
      runs: { type: 'string' },
      captures: { type: 'string' },
      units: { type: 'string' },
      'ambient-c': { type: 'string' },
      coverage: { type: 'string' },
      confidence: { type: 'string' },
      'keep-odd': { type: 'boolean' },
      out: { type: 'string' },
    });
    refuseMore(positionals);
    const { profile, runs, captures, out } = values;
    if (!profile) throw new UsageError('--profile P is missing: what are the units?');
    if ((runs === undefined) === (captures === undefined))
      throw new UsageError('learn takes --runs RUN,RUN,… or --captures FOLDER, one of the two');
    const coverage = numberTold('coverage', values.coverage, PART);
    const confidence = numberTold('confidence', values.confidence, PART);
    const units = numberTold('units', values.units, UNITS);
    const asked = {
      ...{ profile, runs, captures, units, out, coverage, confidence },
      ...{ 'ambient-c': values['ambient-c'], keepOdd: values['keep-odd'] === true },
    };
    return (await import('../learn.js')).learnFrom(asked, io);
  },
};
