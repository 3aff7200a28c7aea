// `throwbench settings`: shows what this workshop has settled and where it stands, and changes one key.

import { type Command, EXIT, jsonText, parseCommandArgs, refuseMore, UsageError } from '../command.js';
import { tableLines } from '../table.js';

export const command: Command = {
  usage: `usage: throwbench settings [--json]
       throwbench settings KEY VALUE
       throwbench settings KEY --unset

  KEY      a key of the file, or profiles. and how a tag begins: profiles.V- window-lift-switch
  VALUE    what it is from now on
  --unset  takes the key away
  --json   one JSON object: file, settings

The file stands where the platform keeps settings; THROWBENCH_SETTINGS names another.

examples:
  throwbench settings operator Kim
  throwbench settings profiles.V- window-lift-switch
`,
  async run(args, io) {
    const { values, positionals } = parseCommandArgs(args, {
      unset: { type: 'boolean', default: false },
      json: { type: 'boolean', default: false },
    });
    const [key, value, ...more] = positionals;
    refuseMore(more);
    if (values.unset && (key === undefined || value !== undefined))
      throw new UsageError('--unset wants one KEY and no VALUE');
    if (key !== undefined && value === undefined && !values.unset)
      throw new UsageError(`VALUE is missing: what is ${key} from now on?`);
    const { changeSetting, readSettings, SETTING_WORDS, settingsPath } = await import('../settings.js');
    const { displayPath } = await import('../../input/index.js');
    if (key !== undefined) changeSetting(key, value);
    const settings = readSettings();
    const path = settingsPath();
    if (values.json) {
      io.stdout(jsonText({ file: path, settings }));
      return EXIT.pass;
    }
    const { startKey, ...rest } = settings;
    const kept: Record<string, unknown> = { ...rest, 'start-key': startKey };
    const rows = Object.entries(SETTING_WORDS).map(([name, words]) => [name, told(kept[name]), words]);
    io.stdout(`${displayPath(path)}\n`);
    for (const line of tableLines(rows)) io.stdout(`${line}\n`);
    return EXIT.pass;
  },
};

function told(value: unknown): string {
  if (value === undefined) return '-';
  if (typeof value !== 'object' || value === null) return String(value);
  return Object.entries(value)
    .map(([beginning, profile]) => `${beginning}: ${String(profile)}`)
    .join(', ');
}
