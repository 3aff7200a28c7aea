// `throwbench profile`: what profiles there are, what one says, whether a file is one, and a new one by questions.

import { type Command, parseCommandArgs, refuseMore, UsageError } from '../command.js';
import { KIND_NAMES, KIND_WORDS, kindNamed } from '../profile/kinds.js';

const WORDS = ['list', 'show', 'check', 'new', 'schema'];
/** What comes with a tray, or is asked for by name. */
const NOT_UNASKED = new Set(['case']);

export const command: Command = {
  usage: `usage: throwbench profile list [KIND] [--json]
       throwbench profile list faults P [--json]
       throwbench profile show [KIND] P [--json]
       throwbench profile check FILE… [--json]
       throwbench profile new [--folder DIR]
       throwbench profile schema KIND

  list         what there is: ${Object.values(KIND_WORDS).join(', ')}; of one KIND, or all
  list faults  the faults that a unit can have, and its motor's conditions
  show P       one profile with its numbers, their units and where they come from; P is an id or a YAML file
  check FILE   whether files, or all YAML files of a folder, are profiles, with all that they refer to
  new          asks what is on your bench and writes a commented motor and unit; in a pipe a line an answer
  --folder DIR where new puts them (the folder that THROWBENCH_PROFILES names, else my-profiles)
  schema KIND  JSON Schema for editors and other programs
  --json       for programs

examples:
  throwbench profile list motors
  throwbench profile show window-lift-switch
  throwbench profile list faults window-lift-switch
  throwbench profile new
  throwbench profile check my-profiles

exit status: 0 done and good, 2 usage or a faulty file
`,
  async run(args, io) {
    const { values, positionals } = parseCommandArgs(args, {
      folder: { type: 'string' },
      json: { type: 'boolean', default: false },
    });
    const [word, first, ...more] = positionals;
    if (word === undefined) throw new UsageError('profile list, show, check, new or schema?');
    if (values.folder !== undefined && word !== 'new') throw new UsageError('--folder goes with profile new');
    const { json } = values;
    switch (word) {
      case 'list': {
        const { list, listFaults } = await import('../profile/list.js');
        if (first === 'faults' || first === 'fault') {
          const [unit, ...others] = more;
          if (unit === undefined)
            throw new UsageError('profile list faults needs a unit: its id or YAML file');
          refuseMore(others);
          return listFaults(io, unit, json);
        }
        refuseMore(more);
        return list(
          io,
          first === undefined ? KIND_NAMES.filter((one) => !NOT_UNASKED.has(one)) : [kindOf(first)],
          json,
        );
      }
      case 'show': {
        if (first === undefined) throw new UsageError('profile show needs an id or a YAML file');
        const [second, ...others] = more;
        refuseMore(others);
        const { show } = await import('../profile/show.js');
        return second === undefined
          ? show(io, first, undefined, json)
          : show(io, second, kindOf(first), json);
      }
      case 'check': {
        if (first === undefined) throw new UsageError('profile check needs one YAML file or more');
        return (await import('../profile/check.js')).check(io, [first, ...more], json);
      }
      case 'new': {
        refuseMore(positionals.slice(1));
        return (await import('../profile/new.js')).writeNew(io, values.folder);
      }
      case 'schema': {
        if (first === undefined)
          throw new UsageError(`profile schema needs a kind: ${KIND_NAMES.join(', ')}`);
        refuseMore(more);
        const { jsonSchemaOf, SCHEMAS } = await import('../../profile/index.js');
        const { jsonText } = await import('../command.js');
        io.stdout(jsonText(jsonSchemaOf(SCHEMAS[kindOf(first)])));
        return 0;
      }
      default:
        throw new UsageError(`unknown word ${JSON.stringify(word)} after profile`, { word, known: WORDS });
    }
  },
};

function kindOf(word: string) {
  const kind = kindNamed(word);
  if (kind !== undefined) return kind;
  const known = [...Object.values(KIND_WORDS), 'faults'];
  throw new UsageError(`unknown kind ${JSON.stringify(word)}`, { word, known });
}
