// `throwbench log`: the records. Lists, shows, draws, exports, compares and counts runs, proves the chain.

import { type Command, numberTold, parseCommandArgs, refuseMore, UsageError } from '../command.js';
import { QUERY_NAMES, QUERY_OPTIONS, queryOf, queryWords } from '../log-query.js';

const DEFAULT_LIMIT = 20;
const DRAWS = { least: 1, most: 2000, example: 200, what: 'whole number' } as const;
const LIMIT = { least: 1, most: 1_000_000, example: 50, what: 'whole number' } as const;

/** Each with the words after `log` that it goes with. */
const GOES_WITH = {
  ...Object.fromEntries(QUERY_NAMES.map((name) => [name, ['list', 'stats']])),
  limit: ['list'],
  expect: ['verify'],
  key: ['verify'],
  out: ['key'],
  before: ['archive'],
  raw: ['show'],
  draws: ['show'],
  jsonl: ['list'],
  captures: ['list'],
  labels: ['list'],
  batch: ['list'],
  size: ['list'],
  parquet: ['list', 'show'],
  csv: ['list', 'show'],
  ...Object.fromEntries(['svg', 'html', 'pdf'].map((name) => [name, ['show']])),
  ...Object.fromEntries(['paper', 'shop'].map((name) => [name, ['list', 'show', 'site']])),
} as Record<string, readonly string[]>;

interface SheetTold {
  html?: string | undefined;
  pdf?: string | undefined;
  paper?: string | undefined;
  shop?: string | undefined;
}

/** @throws UsageError for a size that is none, or without a sheet to be of it. */
function paperOf({ html, pdf, paper }: SheetTold): 'a4' | 'letter' | undefined {
  if (pdf === '-') throw new UsageError('--pdf - cannot go to standard output; name a file');
  if (paper !== undefined && html === undefined && pdf === undefined)
    throw new UsageError('--paper goes with --html or --pdf');
  return paperNamed(paper);
}

/** @throws UsageError for a size that is none */
function paperNamed(paper: string | undefined): 'a4' | 'letter' | undefined {
  if (paper === undefined) return undefined;
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

const WORDS = ['list', 'show', 'verify', 'stats', 'compare', 'site', 'key', 'backup', 'archive'] as const;

export const command: Command = {
  usage: `usage: throwbench log [FILTERS] [--limit N] [--csv|--jsonl|--parquet|--captures FILE] [--json]
       throwbench log show RUN [--csv|--parquet FILE] [--svg FILE] [--html FILE] [--pdf FILE] [--raw] [--json]
       throwbench log compare RUN RUN [--json]
       throwbench log stats [FILTERS] [--json]
       throwbench log site FOLDER [--paper P] [--shop TEXT] [--json]
       throwbench log verify [--expect ANCHOR] [--key FILE] [--json]
       throwbench log backup FILE [--json]
       throwbench log archive FILE --before DAY [--json]
       throwbench log key [new | --out FILE] [--json]

  filters: --unit TAG, --job JOB, --profile P, --rig ID, --verdict pass|fail|cannot-tell, --cause TEXT
               (part of the likeliest cause), --check TEXT (part of a check that failed), --since DAY,
               --until DAY (2026-11-27), --find TEXT (anywhere in it)
  --limit N    at most N runs, newest first (${DEFAULT_LIMIT})
  --csv FILE   the runs as a table, a column a reading with its unit and ±; - is standard output.
               --jsonl FILE one JSON object a line; --parquet FILE the table as Parquet. Of one
               run (show), --csv and --parquet write its capture
  --captures FILE  the samples of all these runs as Parquet, a row a sample
  --labels FILE  a label for the newest of these runs of each unit, as PDF, a page each; --size 60x30
               in mm, which settings keeps as label. --batch FILE  one sheet with a line for each unit
  show RUN     one run with verdict, checks and findings; RUN is its id, last, a unit's tag (its
               newest run), or what the code of a sheet says
  --svg FILE   draw the run as a picture, with its starts, releases and contact edges enlarged
  --draws N    behind its traces the band of N good units, drawn from the profile of that day
  --html FILE  write the run's sheet, one page for the customer's folder; --pdf FILE the same as PDF
  --paper P    of the sheet: a4 or letter
  --shop TEXT  name and address at its head, lines apart by a semicolon; settings keeps both
  --raw        the lines of the link too, as they came
  compare      the readings of two runs that differ by more than their ±
  stats        how many passed, by profile and by month, and what was found how often
  site FOLDER  write all of it as plain pages that open from disk in any browser: the list with
               search, the sheets, statistics; called again it adds what is new
  verify       which hold: the hash chain over all records, the anchor, the shop's signatures; exit 1
               when one does not
  --expect A   verify that the chain still holds the record of this anchor, noted elsewhere
  --key FILE   hold the signatures against this public key, got from the shop itself
  backup FILE  a whole copy of the store, read back, also while a bench records
  archive FILE the same, and once it is read back the samples of runs before DAY leave this store;
               their records, readings and hashes stay, and each removal is an entry
  key          the shop's signing key, where there is one; key new makes it, and from then on every
               record is signed; --out FILE writes its public half, for others to verify with
  --json       for programs

examples:
  throwbench log --unit V-0107
  throwbench log --verdict fail --since 2026-11-01 --csv november.csv
  throwbench log show last
  throwbench log --job 31 --labels labels.pdf --size 60x30
  throwbench log site records-site
  throwbench log show V-0107 --pdf v-0107.pdf --shop "Vans at the mill; Mill Lane 3"

Records lie in logs/throwbench.sqlite, or in the folder that THROWBENCH_LOGS names; the key beside
the settings, or where THROWBENCH_KEY says.`,
  async run(args, io) {
    const { values, positionals } = parseCommandArgs(args, {
      ...QUERY_OPTIONS,
      limit: { type: 'string' },
      csv: { type: 'string' },
      jsonl: { type: 'string' },
      parquet: { type: 'string' },
      captures: { type: 'string' },
      labels: { type: 'string' },
      batch: { type: 'string' },
      size: { type: 'string' },
      svg: { type: 'string' },
      html: { type: 'string' },
      pdf: { type: 'string' },
      paper: { type: 'string' },
      shop: { type: 'string' },
      expect: { type: 'string' },
      key: { type: 'string' },
      out: { type: 'string' },
      before: { type: 'string' },
      draws: { type: 'string' },
      raw: { type: 'boolean' },
      json: { type: 'boolean', default: false },
    });
    const [first = 'list', ...rest] = positionals;
    const verb = WORDS.find((word) => word === first);
    if (verb === undefined)
      throw new UsageError(`unknown word ${JSON.stringify(first)} after log`, { word: first, known: WORDS });
    for (const [name, value] of Object.entries(values))
      if (value !== undefined && GOES_WITH[name]?.includes(verb) === false)
        throw new UsageError(`--${name} does not go with log ${verb}`);
    const { json, csv, jsonl, parquet, captures } = values;
    switch (verb) {
      case 'list': {
        refuseMore(rest);
        const query = queryOf(values);
        const limit = numberTold('limit', values.limit, LIMIT);
        const { labels, batch, size } = values;
        if (labels === undefined && size !== undefined) throw new UsageError('--size goes with --labels');
        if (
          batch === undefined &&
          (values.paper ?? (labels === undefined ? values.shop : undefined)) !== undefined
        )
          throw new UsageError('--paper and --shop go with a sheet: --batch FILE, or log show');
        if (labels !== undefined || batch !== undefined) {
          if (json) throw new UsageError('--json does not go with --labels or --batch');
          const papers = { labels, batch, size, paper: paperNamed(values.paper), shop: values.shop };
          return (await import('../log-labels.js')).writeLabels(io, query, papers);
        }
        if ((csv ?? jsonl ?? parquet ?? captures) === undefined) {
          const told = { json, asked: queryWords(values) };
          return (await work()).list(io, { ...query, limit: limit ?? DEFAULT_LIMIT }, told);
        }
        if (json)
          throw new UsageError(
            '--json does not go with --csv, --jsonl, --parquet or --captures of many runs',
          );
        const limited = limit === undefined ? query : { ...query, limit };
        return (await workOfMany()).exportRuns(io, limited, { csv, jsonl, parquet, captures });
      }
      case 'show': {
        const [runId, ...more] = rest;
        if (runId === undefined)
          throw new UsageError('log show needs a RUN: an id from throwbench log, or last');
        refuseMore(more);
        const { svg, html, pdf, raw = false } = values;
        const sheet = { paper: paperOf(values), shop: shopOf(values) };
        if (parquet === '-') throw new UsageError('--parquet - cannot go to standard output; name a file');
        const draws = numberTold('draws', values.draws, DRAWS);
        if (draws !== undefined && svg === undefined) throw new UsageError('--draws goes with --svg');
        return (await work()).show(io, runId, { csv, parquet, svg, html, pdf, draws, raw, json, ...sheet });
      }
      case 'compare': {
        const [one, other, ...more] = rest;
        if (one === undefined || other === undefined)
          throw new UsageError('log compare needs two runs: ids from throwbench log, or tags');
        refuseMore(more);
        return (await workOfMany()).compare(io, [one, other], json);
      }
      case 'stats':
        refuseMore(rest);
        return (await workOfMany()).stats(io, queryOf(values), json);
      case 'site': {
        const [target, ...more] = rest;
        if (target === undefined || target === '-')
          throw new UsageError('log site needs a FOLDER to write to, such as records-site');
        refuseMore(more);
        const { writeSite } = await import('../log-site.js');
        return writeSite(io, target, { paper: paperNamed(values.paper), shop: values.shop, json });
      }
      case 'verify':
        refuseMore(rest);
        return (await import('../log-verify.js')).verify(io, {
          expect: values.expect,
          key: values.key,
          json,
        });
      case 'backup':
      case 'archive': {
        const [file, ...more] = rest;
        if (file === undefined || file === '-') throw new UsageError(`log ${verb} needs a FILE to write to`);
        refuseMore(more);
        const { archive, backup } = await import('../log-archive.js');
        if (verb === 'backup') return backup(io, file, json);
        const { since: before } = queryOf({ since: values.before });
        if (before === undefined) throw new UsageError('log archive needs --before DAY, such as 2026-01-01');
        return archive(io, file, { before, json });
      }
      case 'key': {
        const [make, ...more] = rest;
        refuseMore(more);
        if (make !== undefined && make !== 'new')
          throw new UsageError(`unknown word ${JSON.stringify(make)} after log key`, {
            word: make,
            known: ['new'],
          });
        const { makeShopKey, showShopKey } = await import('../log-key.js');
        return make === 'new' ? makeShopKey(io, json) : showShopKey(io, { out: values.out, json });
      }
    }
  },
};

/** Only now, so that a wrong call is answered at once. */
const work = () => import('../log.js');
const workOfMany = () => import('../log-many.js');
