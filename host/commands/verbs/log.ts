// `throwbench log`: the records. Lists, shows, draws, exports, compares and counts runs, proves the chain.

import { JSON_OPTION } from '../bench-named.js';
import { numberTold, refuseMore, UsageError } from '../command.js';
import type { Declaration } from '../declaration.js';
import { declared, partNamed } from '../declared.js';
import { QUERY_OPTIONS, queryOf, queryWords } from '../log-query.js';

const DEFAULT_LIMIT = 20;
const DRAWS = { least: 1, most: 2000, example: 200, what: 'whole number' } as const;
const LIMIT = { least: 1, most: 1_000_000, example: 50, what: 'whole number' } as const;

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

const RUN = {
  name: 'RUN',
  words: "its id, last, a unit's tag (its newest run), or what the code of a sheet says; in any case",
  offer: 'run',
} as const;

const SHOW_ONLY = ['show'] as const;
const LIST_ONLY = ['list'] as const;

const DECLARATION = {
  parts: {
    list: {
      words: 'the runs, newest first; so does log alone. Filters: --unit to --find',
      calls: [
        'log [list] [FILTERS] [--limit N] [--csv|--jsonl|--parquet|--captures FILE] [--decimal-comma] [--json]',
        'log [list] [FILTERS] (--labels FILE [--size WxH] | --batch FILE)',
      ],
      examples: ['log --unit V-0107', 'log --verdict fail --since 2026-11-01 --csv november.csv'],
    },
    show: {
      words: 'one run with verdict, checks and findings',
      calls: [
        'log [show] RUN [--csv|--parquet FILE] [--decimal-comma] [--svg FILE] [--html FILE] [--pdf FILE] [--raw] [--json]',
      ],
      takes: [RUN],
      examples: [
        'log show last',
        'log v-0107',
        'log show V-0107 --pdf v-0107.pdf --shop "Vans at the mill; Mill Lane 3"',
      ],
    },
    compare: {
      words: 'the readings of two runs that differ by more than their ±',
      calls: ['log compare RUN RUN [--json]'],
      takes: [{ ...RUN, repeats: true }],
      examples: ['log compare 2026-11-27-0002 last'],
    },
    stats: {
      words: 'how many passed, by profile, month and bench, and what was found how often',
      calls: ['log stats [FILTERS] [--json]', 'log stats --profile P --against FILE [FILTERS] [--json]'],
      examples: [
        'log stats --since 2026-01-01',
        'log stats --profile window-lift-alone --against good.yaml --since 2026-01-01',
      ],
    },
    benches: {
      words: 'which rigs at which computers have recorded here: how many runs, the first and the newest',
      calls: ['log benches [--json]'],
      examples: ['log benches'],
    },
    site: {
      words:
        'write all of it as plain pages that open from disk in any browser: the list with search, the sheets, statistics; called again it adds what is new',
      calls: ['log site FOLDER [--paper P] [--shop TEXT] [--json]'],
      takes: [{ name: 'FOLDER', words: 'where the pages go', offer: 'folder' }],
      examples: ['log site records-site'],
    },
    verify: {
      words:
        "which hold: the hash chain over all records, the anchor, the shop's signatures; exit 1 when one does not",
      calls: ['log verify [--expect ANCHOR] [--key FILE] [--json]'],
      examples: ['log verify', 'log verify --expect cd4293c1d343'],
    },
    backup: {
      words:
        'a whole copy of the store, read back, also while a bench records; the photos of units go beside it',
      calls: ['log backup FILE [--json]'],
      takes: [{ name: 'FILE', words: 'where the copy goes', offer: 'file' }],
      examples: ['log backup records-2026.sqlite'],
    },
    archive: {
      words:
        'the same, and once it is read back the samples of runs before DAY leave this store; their records, readings and hashes stay, and each removal is an entry',
      calls: ['log archive FILE --before DAY [--json]'],
      takes: [{ name: 'FILE', words: 'where the copy goes', offer: 'file' }],
      examples: ['log archive samples-2025.sqlite --before 2026-01-01'],
    },
    key: {
      words:
        "the shop's signing key, where there is one; key new makes it, and from then on every record is signed",
      calls: ['log key [new] [--out FILE] [--json]'],
      takes: [{ name: 'new', words: 'makes the key', offer: ['new'] }],
      examples: ['log key new', 'log key --out shop-key.pem'],
    },
  },
  takes: [RUN],
  options: {
    ...QUERY_OPTIONS,
    limit: {
      type: 'string',
      value: 'N',
      words: `at most N runs, newest first (${DEFAULT_LIMIT})`,
      only: LIST_ONLY,
    },
    csv: {
      type: 'string',
      value: 'FILE',
      words:
        'the runs as a table, a column a reading with its unit and ±; - is standard output. Of one run (show), its capture',
      offer: 'file',
      only: ['list', 'show'],
    },
    'decimal-comma': {
      type: 'boolean',
      words:
        'with --csv: commas in numbers, semicolons between cells and a byte order mark, where a spreadsheet wants 3,46 and takes 3.46 for a day',
      only: ['list', 'show'],
    },
    jsonl: {
      type: 'string',
      value: 'FILE',
      words: 'the runs, one JSON object a line',
      offer: 'file',
      only: LIST_ONLY,
    },
    parquet: {
      type: 'string',
      value: 'FILE',
      words: 'the table as Parquet; of one run (show), its capture',
      offer: 'file',
      only: ['list', 'show'],
    },
    captures: {
      type: 'string',
      value: 'FILE',
      words: 'the samples of all these runs as Parquet, a row a sample',
      offer: 'file',
      only: LIST_ONLY,
    },
    labels: {
      type: 'string',
      value: 'FILE',
      words: 'a label for the newest of these runs of each unit, as PDF, a page each',
      offer: 'file',
      only: LIST_ONLY,
    },
    size: {
      type: 'string',
      value: 'WxH',
      words: 'of a label in mm, such as 60x30; settings keeps it as label',
      only: LIST_ONLY,
    },
    batch: {
      type: 'string',
      value: 'FILE',
      words: 'one sheet with a line for each unit, as PDF',
      offer: 'file',
      only: LIST_ONLY,
    },
    svg: {
      type: 'string',
      value: 'FILE',
      words: 'draw the run as a picture, with its starts, releases and contact edges enlarged',
      offer: 'file',
      only: SHOW_ONLY,
    },
    draws: {
      type: 'string',
      value: 'N',
      words: 'behind its traces the band of N good units, drawn from the profile of that day',
      only: SHOW_ONLY,
    },
    html: {
      type: 'string',
      value: 'FILE',
      words: "write the run's sheet, one page for the customer's folder",
      offer: 'file',
      only: SHOW_ONLY,
    },
    pdf: { type: 'string', value: 'FILE', words: 'the same as PDF', offer: 'file', only: SHOW_ONLY },
    paper: {
      type: 'string',
      value: 'P',
      words: 'of the sheet: a4 or letter',
      offer: ['a4', 'letter'],
      only: ['list', 'show', 'site'],
    },
    shop: {
      type: 'string',
      value: 'TEXT',
      words: 'name and address at its head, lines apart by a semicolon; settings keeps both',
      only: ['list', 'show', 'site'],
    },
    raw: { type: 'boolean', words: 'the lines of the link too, as they came', only: SHOW_ONLY },
    against: {
      type: 'string',
      value: 'FILE',
      words: `with --profile: how the newest run of each unit sits within the learned limits of that file, Cp and Cpk with
        their 95 %, as learn --against tells it`,
      offer: 'file',
      only: ['stats'],
    },
    expect: {
      type: 'string',
      value: 'ANCHOR',
      words: 'that the chain still holds the record of this anchor, noted elsewhere',
      only: ['verify'],
    },
    key: {
      type: 'string',
      value: 'FILE',
      words: 'hold the signatures against this public key, got from the shop itself',
      offer: 'file',
      only: ['verify'],
    },
    out: {
      type: 'string',
      value: 'FILE',
      words: 'write the public half of the key, for others to verify with',
      offer: 'file',
      only: ['key'],
    },
    before: {
      type: 'string',
      value: 'DAY',
      words: 'runs before this day: 2026-01-01',
      only: ['archive'],
    },
    json: JSON_OPTION,
  },
  notes: `Records lie in logs/throwbench.sqlite, or in the folder that THROWBENCH_LOGS names; the key beside
    the settings, or where THROWBENCH_KEY says.`,
  examples: [
    'log --unit V-0107',
    'log --verdict fail --since 2026-11-01 --csv november.csv',
    'log show last',
    'log --job 31 --labels labels.pdf --size 60x30',
    'log site records-site',
    'log show V-0107 --pdf v-0107.pdf --shop "Vans at the mill; Mill Lane 3"',
  ],
  exit: '0 told, 1 verify found what does not hold or stats --against a unit outside, 2 usage or no such run, 3 the records cannot be read',
} as const satisfies Declaration;

/** A word that is no part is a run: `log V-0107` shows it, unless it is nearly a part. */
async function wordsOf(positionals: readonly string[]): Promise<readonly string[]> {
  const [first = 'list', ...rest] = positionals;
  const parts = Object.keys(DECLARATION.parts);
  if (parts.includes(first)) return [first, ...rest];
  const { nearestName } = await import('../../input/index.js');
  return nearestName(first, parts) === undefined ? ['show', first, ...rest] : [first, ...rest];
}

export const command = declared(DECLARATION, async ({ values, positionals }, io) => {
  const [first = 'list', ...rest] = await wordsOf(positionals);
  const verb = partNamed<keyof typeof DECLARATION.parts>('log', DECLARATION, first, values);
  const { json, csv, jsonl, parquet, captures } = values;
  switch (verb) {
    case 'list': {
      refuseMore(rest);
      const query = queryOf(values);
      const limit = numberTold('limit', values.limit, LIMIT);
      const { labels, batch, size, 'decimal-comma': hasDecimalComma = false } = values;
      if (hasDecimalComma && csv === undefined) throw new UsageError('--decimal-comma goes with --csv');
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
        throw new UsageError('--json does not go with --csv, --jsonl, --parquet or --captures of many runs');
      const limited = limit === undefined ? query : { ...query, limit };
      const asked = { csv, jsonl, parquet, captures, hasDecimalComma };
      return (await workOfMany()).exportRuns(io, limited, asked);
    }
    case 'show': {
      const [runId, ...more] = rest;
      if (runId === undefined)
        throw new UsageError('log show needs a RUN: an id from throwbench log, or last');
      refuseMore(more);
      const { svg, html, pdf, raw = false, 'decimal-comma': hasDecimalComma = false } = values;
      if (hasDecimalComma && csv === undefined) throw new UsageError('--decimal-comma goes with --csv');
      const sheet = { paper: paperOf(values), shop: shopOf(values) };
      if (parquet === '-') throw new UsageError('--parquet - cannot go to standard output; name a file');
      const draws = numberTold('draws', values.draws, DRAWS);
      if (draws !== undefined && svg === undefined) throw new UsageError('--draws goes with --svg');
      const files = { csv, hasDecimalComma, parquet, svg, html, pdf };
      return (await work()).show(io, runId, { ...files, draws, raw, json, ...sheet });
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
      if (values.against !== undefined) {
        const { profile, against } = values;
        if (profile === undefined)
          throw new UsageError('--against goes with --profile P: limits are of one profile');
        const { statsAgainst } = await import('../stats-against.js');
        return statsAgainst(io, queryOf(values), { profile, against, json });
      }
      return (await workOfMany()).stats(io, queryOf(values), json);
    case 'benches':
      refuseMore(rest);
      return (await import('../log-benches.js')).listBenches(io, json);
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
      return (await import('../log-verify.js')).verify(io, { expect: values.expect, key: values.key, json });
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
});

/** Only now, so that a wrong call is answered at once. */
const work = () => import('../log.js');
const workOfMany = () => import('../log-many.js');
