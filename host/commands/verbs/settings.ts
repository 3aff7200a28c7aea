// `throwbench settings`: shows what this workshop has settled and where it stands, and changes one key.

import { chmodSync } from 'node:fs';
import { EXIT, jsonText, refuseMore, UsageError } from '../command.js';
import { declared } from '../declared.js';
import { tableLines } from '../table.js';

export const command = declared(
  {
    calls: ['settings [--json]', 'settings KEY VALUE', 'settings KEY --unset'],
    takes: [
      {
        name: 'KEY',
        words: 'a key of the file, or profiles. and how a tag begins: profiles.V- window-lift-switch',
        offer: 'setting',
      },
      { name: 'VALUE', words: 'what it is from now on' },
    ],
    options: {
      unset: { type: 'boolean', default: false, words: 'takes the key away' },
      json: { type: 'boolean', default: false, words: 'one JSON object: file, settings' },
    },
    notes: 'The file stands where the platform keeps settings; THROWBENCH_SETTINGS names another.',
    examples: ['settings operator "day shift"', 'settings profiles.V- window-lift-switch'],
    isPlain: true,
    exit: '0 told or changed, 2 usage or a value that cannot be meant',
  },
  async ({ values, positionals }, io) => {
    const [key, value, ...more] = positionals;
    refuseMore(more);
    if (values.unset && (key === undefined || value !== undefined))
      throw new UsageError('--unset wants one KEY and no VALUE');
    if (key !== undefined && value === undefined && !values.unset)
      throw new UsageError(`VALUE is missing: what is ${key} from now on?`);
    const { changeSetting, readSettings, SETTING_WORDS, settingsPath } = await import('../settings.js');
    const { displayPath } = await import('../../input/index.js');
    const { addressShown, holdsPassword, serverAddress } = await import('../../records/index.js');
    if (key === 'store') serverAddress(value ?? '', 'store');
    if (key !== undefined) changeSetting(key, value);
    const { store, ...others } = readSettings();
    // It is then for the eyes of its owner alone.
    if (key !== undefined && store !== undefined && holdsPassword(store)) chmodSync(settingsPath(), 0o600);
    const settings = { ...others, ...(store === undefined ? {} : { store: addressShown(store) }) };
    const path = settingsPath();
    if (values.json) {
      io.stdout(jsonText({ file: path, settings }));
      return EXIT.pass;
    }
    const { startKey, askWay, ...rest } = settings;
    const kept: Record<string, unknown> = { ...rest, 'start-key': startKey, 'ask-way': askWay };
    const rows = Object.entries(SETTING_WORDS).map(([name, words]) => [name, told(kept[name]), words]);
    io.stdout(`${displayPath(path)}\n`);
    for (const line of tableLines(rows)) io.stdout(`${line}\n`);
    return EXIT.pass;
  },
);

function told(value: unknown): string {
  if (value === undefined) return '-';
  if (typeof value !== 'object' || value === null) return String(value);
  return Object.entries(value)
    .map(([beginning, profile]) => `${beginning}: ${String(profile)}`)
    .join(', ');
}
