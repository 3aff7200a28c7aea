// What `throwbench tray` says of a file that is no tray.

import { mkdtempSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterAll, describe, expect, it } from 'vitest';
import { command } from '../../host/commands/verbs/tray.js';
import { call } from './call.js';

const folder = mkdtempSync(join(tmpdir(), 'throwbench-tray-'));
afterAll(() => rmSync(folder, { recursive: true, force: true }));

const refused = async (name: string, text: string): Promise<string> => {
  const path = join(folder, name);
  writeFileSync(path, text);
  return call(command, [path, '--plain'], folder).then(
    () => 'taken',
    (error: unknown) => (error instanceof Error ? error.message : String(error)),
  );
};
const tray = (units: string): string => `id: x\ntitle: X\nkind: tray\nunits:\n${units}`;

describe('throwbench tray', () => {
  it('shows the way of a spreadsheet list', async () => {
    const said = await refused('list.csv', '\ufefftag;profile\r\nV-1;window-lift-alone\r\n');
    expect(said).toMatch(/list\.csv: is a table.*throwbench job import FILE --job JOB/);
  });

  it.each([
    ['no unit', 'empty.yaml', 'id: x\ntitle: X\nkind: tray\nunits: []\n', /empty\.yaml:4: units/],
    [
      'a tag twice',
      'twice.yaml',
      tray('  - { tag: A-1, profile: window-lift-alone }\n  - { tag: A-1, profile: window-lift-alone }\n'),
      /twice\.yaml:6: .*'A-1' stands already in line 5/,
    ],
    [
      'a profile that nobody has',
      'bad.yaml',
      tray('  - { tag: A-1, profile: window-lif-alone, virtual: good }\n'),
      /window-lif-alone: .*did you mean window-lift-alone/,
    ],
    [
      'a tag that steers a terminal',
      'steers.yaml',
      tray('  - { tag: "A\\e[31m", profile: window-lift-alone }\n'),
      /steers\.yaml:5: .*\\u001b/,
    ],
    [
      'a tag of 300 characters',
      'long.yaml',
      tray(`  - { tag: ${'Y'.repeat(300)}, profile: window-lift-alone, virtual: good }\n`),
      /long\.yaml:5: .*24/,
    ],
  ])('refuses a list with %s in one line', async (_what, name, text, said) => {
    const told = await refused(name, text);
    expect(told).toMatch(said);
    expect(told).not.toContain('\n');
  });
});
