// `meter` from the command line: the sheet as text, as a page and as JSON.

import { mkdtempSync, readFileSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterAll, describe, expect, it } from 'vitest';
import { command } from '../../host/commands/verbs/meter.js';
import { call } from './call.js';

const folder = mkdtempSync(join(tmpdir(), 'throwbench-meter-'));
afterAll(() => rmSync(folder, { recursive: true }));
const meter = (...args: string[]) => call(command, args, folder);

describe('meter', () => {
  it('gives a sheet to tick within 80 columns, what is hidden below it', async () => {
    const { code, stdout } = await meter('--profile', 'entry-step-relays');
    expect(code).toBe(0);
    const lines = stdout.split('\n');
    expect(Math.max(...lines.map((line) => [...line].length))).toBeLessThanOrEqual(80);
    expect(stdout).toMatch(/^K1 and K2 out of their sockets, motor unplugged:$/m);
    expect(stdout).toMatch(/^ {2}\[ \] {2}1 {2}30 of K1 to 87 of K1: open$/m);
    expect(stdout).toMatch(/85 of K1 itself to 86 of K1 itself: \d\d\.\d to \d\d\.\d Ω/);
    expect(stdout).toMatch(/^A meter without current cannot see \(\d+\):$/m);
    expect(stdout).toMatch(/- contact 30-87 of K1 is burnt/);
  });

  it('writes the same checks as a page that fetches nothing', async () => {
    const { stdout } = await meter('--profile', 'window-lift-switch', '--html', 'sheet.html');
    const page = readFileSync(join(folder, 'sheet.html'), 'utf8');
    expect(page.match(/type="checkbox"/g)).toHaveLength(stdout.match(/\[ \]/g)?.length ?? 0);
    expect(page).not.toMatch(/(src|href)=|https?:|<script/);
    expect(page).toMatch(/c1 of the switch to a1 of the switch/);
  });

  it('gives JSON with the faults that each reading shows', async () => {
    const { stdout } = await meter('--profile', 'window-lift-switch', '--json');
    const { checks, unseen, circuit } = JSON.parse(stdout);
    expect(circuit).toBe('switch-carried-open-rest');
    expect(checks.every(({ shows }: { shows: string[] }) => shows.length > 0)).toBe(true);
    expect(
      checks.filter(({ open }: { open: boolean }) => open).every((each: object) => !('most' in each)),
    ).toBe(true);
    expect(unseen.map(({ id }: { id: string }) => id)).toContain('feed-resistance');
  });

  it('keeps the own switch of a unit that the rig throws by its stand-in', async () => {
    const { stdout } = await meter('--profile', 'window-lift-stand-in');
    expect(stdout).toMatch(/c1 of the switch/);
  });

  it('refuses a call without profile, and a page that cannot be written', async () => {
    await expect(meter()).rejects.toThrow(/needs --profile/);
    await expect(meter('--profile', 'window-lift-switch', '--html', 'no/where.html')).rejects.toThrow(
      /no\/where.html: cannot be written \(ENOENT\)/,
    );
  });
});
