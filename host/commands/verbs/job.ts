// `throwbench job`: jobs of the shop and the units listed in them.

import { type Command, parseCommandArgs, refuseMore, UsageError } from '../command.js';

const WORDS = ['list', 'show', 'new', 'import', 'tray'] as const;
/** Each option with the words that it goes with. */
const GOES_WITH: Readonly<Record<string, readonly string[]>> = {
  title: ['new'],
  job: ['import'],
  by: ['new', 'import'],
  out: ['tray'],
};

export const command: Command = {
  usage: `usage: throwbench job [--json]
       throwbench job new JOB [--title TEXT] [--by NAME] [--json]
       throwbench job import FILE.csv [--job JOB] [--by NAME] [--json]
       throwbench job show JOB [--json]
       throwbench job tray JOB --out FILE.yaml

  new JOB      opens a job
  import FILE  brings in a list of units from a spreadsheet: a CSV file whose columns are headed tag,
               job, profile, note, in any order, parted by comma, semicolon or tab. All of it, or
               none; brought in again, changed rows correct what they say, the others stay
  --job JOB    the job of rows that name none
  show JOB     its units, and where each stands
  tray JOB     writes its units as a list for throwbench tray
  --by NAME    who writes it; else the operator of the settings
  --json       for programs

examples:
  throwbench job new 31 --title "Two vans, front and rear vents"
  throwbench job import list.csv --job 31
  throwbench job show 31
  throwbench job tray 31 --out job-31.yaml
`,
  async run(args, io) {
    const { values, positionals } = parseCommandArgs(args, {
      title: { type: 'string' },
      job: { type: 'string' },
      by: { type: 'string' },
      out: { type: 'string' },
      json: { type: 'boolean', default: false },
    });
    const [first = 'list', name, ...more] = positionals;
    const verb = WORDS.find((word) => word === first);
    if (verb === undefined)
      throw new UsageError(`unknown word ${JSON.stringify(first)} after job`, { word: first, known: WORDS });
    refuseMore(more);
    for (const [option, value] of Object.entries(values))
      if (value !== undefined && GOES_WITH[option]?.includes(verb) === false)
        throw new UsageError(`--${option} does not go with job ${verb}`);
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
  },
};

/** Only now, so that a wrong call is answered at once. */
const work = () => import('../job.js');
