// `throwbench job`: jobs of the shop and the units listed in them.

import { JSON_OPTION } from '../bench-named.js';
import { refuseMore, UsageError } from '../command.js';
import type { Declaration } from '../declaration.js';
import { declared, partNamed } from '../declared.js';

const JOB = { name: 'JOB', words: 'number or name of the job' } as const;

const DECLARATION = {
  parts: {
    list: {
      words: 'the jobs, and how far each is; so does job alone',
      calls: ['job [list] [--json]'],
      examples: ['job'],
    },
    new: {
      words: 'opens a job',
      calls: ['job new JOB [--title TEXT] [--by NAME] [--json]'],
      takes: [JOB],
      examples: ['job new 31 --title "Two vans, front and rear vents"'],
    },
    import: {
      words: `brings in a list of units from a spreadsheet: a CSV file whose columns are headed tag, job, profile, note,
        in any order, parted by comma, semicolon or tab. All of it, or none; brought in again, changed rows correct
        what they say, the others stay`,
      calls: ['job import FILE.csv [--job JOB] [--by NAME] [--json]'],
      takes: [{ name: 'FILE', words: 'a CSV file', offer: 'file' }],
      examples: ['job import list.csv --job 31'],
    },
    show: {
      words: 'its units, and where each stands',
      calls: ['job show JOB [--json]'],
      takes: [JOB],
      examples: ['job show 31'],
    },
    tray: {
      words: 'writes its units as a list for throwbench tray',
      calls: ['job tray JOB --out FILE.yaml'],
      takes: [JOB],
      examples: ['job tray 31 --out job-31.yaml'],
    },
  },
  options: {
    title: { type: 'string', value: 'TEXT', words: 'what the job is', only: ['new'] },
    job: { type: 'string', value: 'JOB', words: 'the job of rows that name none', only: ['import'] },
    by: {
      type: 'string',
      value: 'NAME',
      words: 'who writes it; else the operator of the settings',
      only: ['new', 'import'],
    },
    out: { type: 'string', value: 'FILE', words: 'the tray file to write', offer: 'file', only: ['tray'] },
    json: { ...JSON_OPTION, only: ['list', 'new', 'import', 'show'] },
  },
  examples: [
    'job new 31 --title "Two vans, front and rear vents"',
    'job import list.csv --job 31',
    'job show 31',
    'job tray 31 --out job-31.yaml',
  ],
  exit: '0 done, 2 usage or a faulty list',
} as const satisfies Declaration;

export const command = declared(DECLARATION, async ({ values, positionals }, io) => {
  const [first = 'list', name, ...more] = positionals;
  const verb = partNamed<keyof typeof DECLARATION.parts>('job', DECLARATION, first, values);
  refuseMore(more);
  const { json, title, job, by, out } = values;
  const { steeringIn } = await import('../../input/index.js');
  for (const text of [name, title, job, by])
    if (text !== undefined && (steeringIn(text) !== undefined || text.trim() === ''))
      throw new UsageError(`${JSON.stringify(text)} is no name: letters and figures, please`);
  if (verb === 'list') {
    refuseMore(name === undefined ? [] : [name]);
    return (await work()).listJobs(io, json);
  }
  if (name === undefined)
    throw new UsageError(verb === 'import' ? 'job import needs a FILE' : `job ${verb} needs a JOB`);
  switch (verb) {
    case 'new':
      return (await work()).openJob(io, name, { title, by, json });
    case 'import':
      return (await work()).importList(io, name, { job, by, json });
    case 'show':
      return (await work()).showJob(io, name, json);
    case 'tray':
      if (out === undefined) throw new UsageError('job tray needs --out FILE');
      return (await work()).writeTray(io, name, out);
  }
});

/** Only now, so that a wrong call is answered at once. */
const work = () => import('../job.js');
