// `throwbench log`: the records. Lists runs, shows one with its judgement, writes its capture as CSV, proves the chain.

import { type Command, numberTold, parseCommandArgs, refuseMore, UsageError } from '../command.js';

const DEFAULT_LIMIT = 20;
const LIMIT = { least: 1, most: 1_000_000, example: 50, what: 'whole number' } as const;

const OPTIONS = ['unit', 'limit', 'csv', 'svg', 'html', 'pdf', 'paper', 'shop'] as const;

interface SheetTold {
  html?: string | undefined;
  pdf?: string | undefined;
  paper?: string | undefined;
  shop?: string | undefined;
}

/** @throws UsageError for a size that is none, or without a sheet to be of it. */
function paperOf({ html, pdf, paper }: SheetTold): 'a4' | 'letter' | undefined {
  if (pdf === '-') throw new UsageError('--pdf - cannot go to standard output; name a file');
  if (paper === undefined) return undefined;
  if (html === undefined && pdf === undefined) throw new UsageError('--paper goes with --html or --pdf');
  const size = paper.toLowerCase();
  if (size === 'a4' || size === 'letter') return size;
  throw new UsageError(`--paper '${paper}' should be a4 or letter`);
}

/** @throws UsageError where there is no sheet for it. */
function shopOf({ html, pdf, shop }: SheetTold): string | undefined {
  if (shop !== undefined && html === undefined && pdf === undefined)
    throw new UsageError('--shop goes with --html or --pdf');
  return shop;
}

export const command: Command = {
  usage: `usage: throwbench log [--unit TAG] [--limit N] [--json]
       throwbench log show RUN [--csv FILE] [--svg FILE] [--html FILE] [--pdf FILE] [--json]
       throwbench log verify [--json]

  --unit TAG   only runs of this unit
  --limit N    at most N runs, newest first (${DEFAULT_LIMIT})
  show RUN     one run with verdict, checks and findings; RUN is its id, last, or a unit's tag (its newest run)
  --csv FILE   write the run's capture to a new file; - is standard output
  --svg FILE   draw the run as a picture, with its starts, releases and contact edges enlarged
  --html FILE  write the run's sheet, one page for the customer's folder; --pdf FILE the same as PDF
  --paper P    of the sheet: a4 or letter
  --shop TEXT  name and address at its head, lines apart by a semicolon; settings keeps both
  verify       compute the hash chain again over every closed run; exit 1 when a record was changed
  --json       for programs

examples:
  throwbench log --unit V-0107
  throwbench log show last
  throwbench log show V-0107 --csv v-0107.csv

Records lie in logs/throwbench.sqlite, or in the folder that THROWBENCH_LOGS names.`,
  async run(args, io) {
    const { values, positionals } = parseCommandArgs(args, {
      unit: { type: 'string' },
      limit: { type: 'string' },
      csv: { type: 'string' },
      svg: { type: 'string' },
      html: { type: 'string' },
      pdf: { type: 'string' },
      paper: { type: 'string' },
      shop: { type: 'string' },
      json: { type: 'boolean', default: false },
    });
    const [verb = 'list', ...rest] = positionals;
    const only = (...options: (keyof typeof values)[]): void => {
      for (const name of OPTIONS) {
        if (values[name] !== undefined && !options.includes(name))
          throw new UsageError(`--${name} does not go with log ${verb}`);
      }
    };
    switch (verb) {
      case 'list':
        only('unit', 'limit');
        refuseMore(rest);
        return (await work()).list(io, {
          tag: values.unit,
          limit: numberTold('limit', values.limit, LIMIT) ?? DEFAULT_LIMIT,
          json: values.json,
        });
      case 'show': {
        only('csv', 'svg', 'html', 'pdf', 'paper', 'shop');
        const [runId, ...more] = rest;
        if (runId === undefined)
          throw new UsageError('log show needs a RUN: an id from throwbench log, or last');
        refuseMore(more);
        return (await work()).show(io, runId, {
          ...{ csv: values.csv, svg: values.svg, html: values.html, pdf: values.pdf, json: values.json },
          ...{ paper: paperOf(values), shop: shopOf(values) },
        });
      }
      case 'verify':
        only();
        refuseMore(rest);
        return (await work()).verify(io, values.json);
      default:
        throw new UsageError(`unknown word ${JSON.stringify(verb)} after log`, {
          word: verb,
          known: ['list', 'show', 'verify'],
        });
    }
  },
};

/** Only now, so that a wrong call is answered at once. */
const work = () => import('../log.js');
