// Settings for temperatures, wire sizes and days: what a person reads follows them, what a program reads never does.

import { mkdtempSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterAll, afterEach, beforeAll, beforeEach, describe, expect, it, vi } from 'vitest';
import { changeSetting, readSettings } from '../../host/commands/settings.js';
import { celsiusTold, gaugeTyped } from '../../host/commands/typed-units.js';
import { command as logCommand } from '../../host/commands/verbs/log.js';
import { command as profileCommand } from '../../host/commands/verbs/profile.js';
import { command as ratingsCommand } from '../../host/commands/verbs/ratings.js';
import { command as settingsCommand } from '../../host/commands/verbs/settings.js';
import { command as unitCommand } from '../../host/commands/verbs/unit.js';
import { command as wiringCommand } from '../../host/commands/verbs/wiring.js';
import { openStore } from '../../host/records/index.js';
import { PLAIN_FORMS, settleForms } from '../../host/tell/index.js';
import { begin, capture, judgement } from '../records/example-run.js';
import { call } from './call.js';

const DAY = new Date(2024, 5, 11, 9);
let folder: string;
let runId: string;
beforeAll(() => {
  folder = mkdtempSync(join(tmpdir(), 'throwbench-units-told-'));
  vi.stubEnv('THROWBENCH_LOGS', join(folder, 'records'));
  const store = openStore();
  runId = store.beginRun(begin('V-0107', DAY.toISOString()));
  const judged = judgement('fail');
  const [check, ...others] = judged.checks;
  if (check === undefined) throw new Error('the example run has checks');
  const sentence = 'Between 85 and 86 the coil has 84 Ω. Limits hold for a coil of 0 to 40 °C.';
  store.finishRun(runId, {
    capture: capture(20),
    judgement: { ...judged, checks: [{ ...check, sentence }, ...others] },
  });
  store.addShopEntry({ tag: 'V-0107', content: { kind: 'ambient', temperatureC: 25 } });
  store.close();
});
afterAll(() => {
  vi.unstubAllEnvs();
  rmSync(folder, { recursive: true, force: true });
});
beforeEach(() => {
  vi.stubEnv('THROWBENCH_LOGS', join(folder, 'records'));
  vi.stubEnv('THROWBENCH_SETTINGS', join(folder, 'settings.yaml'));
});
afterEach(() => {
  settleForms(PLAIN_FORMS);
  rmSync(join(folder, 'settings.yaml'), { force: true });
});

const settle = (settings: Record<string, string>): void => {
  for (const [key, value] of Object.entries(settings)) changeSetting(key, value);
};
const FOREIGN = { temperature: 'F', wire: 'AWG', date: 'MM/DD/YYYY' };
const out = async (command: Parameters<typeof call>[0], ...args: string[]): Promise<string> =>
  (await call(command, args, folder)).stdout;

describe('the settings', () => {
  it('are taken as they are usually written, and refused with what would be right', async () => {
    settle({ temperature: '°f', wire: 'mm²', date: 'dd.mm.yyyy' });
    expect(readSettings()).toEqual({ temperature: 'F', wire: 'mm2', date: 'DD.MM.YYYY' });
    await expect(call(settingsCommand, ['temperature', 'K'], folder)).rejects.toThrow(
      /temperature: 'K' is not known/,
    );
    await expect(call(settingsCommand, ['date', 'D.M.'], folder)).rejects.toThrow(/DD\.MM\.YYYY/);
  });

  it('that cannot be meant are named by what would tell by them, and mended by the verb itself', async () => {
    writeFileSync(join(folder, 'settings.yaml'), 'temperature: K\n');
    await expect(call(logCommand, [], folder)).rejects.toThrow(/settings\.yaml:1: temperature/);
    expect((await call(settingsCommand, ['temperature', 'F'], folder)).code).toBe(0);
    expect(readSettings()).toEqual({ temperature: 'F' });
  });
});

describe('a recorded run', () => {
  it.each([
    [{}, '2024-06-11 09:00:00', '20 °C ± 20 °C', 'a coil of 0 to 40 °C'],
    [{ date: 'DD.MM.YYYY' }, '11.06.2024 09:00:00', '20 °C ± 20 °C', 'a coil of 0 to 40 °C'],
    [{ date: 'DD/MM/YYYY' }, '11/06/2024 09:00:00', '20 °C ± 20 °C', 'a coil of 0 to 40 °C'],
    [FOREIGN, '06/11/2024 09:00:00', '68 °F ± 36 °F', 'a coil of 32 to 104 °F'],
  ])('is told and set on its sheet by %j', async (settings, day, ambient, coil) => {
    settle(settings);
    expect(await out(logCommand)).toContain(day);
    const record = await out(logCommand, 'show', runId);
    expect(record).toContain(`started  ${day}`);
    expect(record).toContain(coil);
    const sheet = (await out(logCommand, 'show', runId, '--html', '-')).replaceAll('\u00a0', ' ');
    for (const told of [day, ambient, coil]) expect(sheet).toContain(told);
    expect(await out(unitCommand, 'show', 'V-0107')).toMatch(
      settings === FOREIGN ? /ambient +77 °F/ : /ambient +25 °C/,
    );
  });

  it('is the same for programs and in its record, whatever is settled', async () => {
    const told = async (): Promise<string[]> => [
      await out(logCommand, '--json'),
      await out(logCommand, 'show', runId, '--json'),
      await out(logCommand, 'stats', '--json'),
      await out(logCommand, 'verify', '--json'),
      await out(unitCommand, 'show', 'V-0107', '--json'),
      await out(logCommand, '--csv', '-'),
      await out(logCommand, '--jsonl', '-'),
    ];
    const plain = await told();
    expect(plain.join('')).toContain('0 to 40 °C');
    settle(FOREIGN);
    expect(await told()).toEqual(plain);
  });

  it('is found by a day in any form that can only be meant one way', async () => {
    const found = (...args: string[]): Promise<string> => out(logCommand, ...args);
    expect(await found('--since', '11.06.2024', '--until', '11.06.2024')).toContain('V-0107');
    await expect(found('--since', '06/12/2024')).rejects.toThrow(/should be a day, such as 2026-11-27/);
    settle({ date: 'MM/DD/YYYY' });
    expect(await found('--since', '06/12/2024')).not.toContain('V-0107');
    expect(await found('--since', '06/11/2024')).toContain('V-0107');
  });

  it('stands on the pages of the site by its day, and every sheet is written anew', async () => {
    expect(await out(logCommand, 'site', 'pages')).toMatch(/sheets written 1, as they were 0/);
    expect(await out(logCommand, 'site', 'pages')).toMatch(/sheets written 0, as they were 1/);
    settle(FOREIGN);
    expect(await out(logCommand, 'site', 'pages')).toMatch(/sheets written 1, as they were 0/);
    const rows = readFileSync(join(folder, 'pages/data/2024-06.js'), 'utf8');
    expect(rows).toContain('"2024-06-11","06/11/2024 09:00:00"');
    expect(readFileSync(join(folder, `pages/sheets/2024-06/${runId}.html`), 'utf8')).toContain('06/11/2024');
  });
});

describe('a build', () => {
  const BUILD = ['--profile', 'window-lift-switch', '--running-a', '13', '--held-a', '30', '--fuse-a', '15'];
  const ratings = (...args: string[]): Promise<string> => out(ratingsCommand, ...BUILD, ...args);

  it('is rated in the units that are settled', async () => {
    const stated = await ratings('--ambient-c', '40');
    expect(stated).toContain('motor wires, 2.5 mm²');
    expect(stated).toMatch(/Smallest: wire of [\d.]+ mm² or wire\s+AWG \d+/);
    expect(stated).toContain('40 °C');
    settle({ temperature: 'F', wire: 'AWG' });
    const told = await ratings('--ambient-c', '40');
    expect(told).toContain('motor wires, about AWG 13 (thinner)');
    expect(told).toContain('104 °F');
    expect(told).not.toMatch(/mm²|°C/);
    settle({ wire: 'mm2' });
    expect(await ratings('--wire-awg', '14')).toContain('motor wires, 2.08 mm²');
    expect(await ratings('--wire-awg', '14')).not.toContain('AWG 1');
  });

  it('is the same for programs, whatever is settled', async () => {
    const told = async (): Promise<string[]> => [
      await ratings('--json'),
      await out(wiringCommand, '--profile', 'window-lift-switch', '--json'),
    ];
    const plain = await told();
    settle(FOREIGN);
    expect(await told()).toEqual(plain);
  });

  it('is wired by a sheet in the units that are settled', async () => {
    settle({ wire: 'AWG' });
    const told = await out(wiringCommand, '--profile', 'window-lift-switch');
    expect(told).toContain('Wire about AWG');
    expect(told).not.toContain('mm²');
    const shown = await out(profileCommand, 'show', 'window-lift-switch');
    expect(shown).toMatch(/size of the wires +about AWG/);
  });

  it('takes a temperature and a gauge as they are typed', async () => {
    const plain = await ratings('--ambient-c', '40', '--wire-awg', '14');
    expect(await ratings('--ambient-c', '104F', '--wire-mm2', 'AWG 14')).toBe(plain);
    expect(await ratings('--ambient-c', '40 °C', '--wire-mm2', '14awg')).toBe(plain);
    await expect(ratings('--ambient-c', '400F')).rejects.toThrow(/'400F' should be from -76F to 257F/);
    await expect(ratings('--wire-mm2', 'AWG 77')).rejects.toThrow(/should be a whole number from -4 to 40/);
  });
});

describe('what is typed', () => {
  it.each([
    ['77F', 25],
    ['77 °F', 25],
    ['-40f', -40],
    ['12', 12],
    ['12,5 C', 12.5],
  ])('%j is %f °C', (typed, degreesC) => {
    expect(celsiusTold('ambient-c', typed, { least: -40, most: 85, example: 12 })).toBe(degreesC);
  });

  it.each([
    ['AWG 14', 14],
    ['14 AWG', 14],
    ['awg 0', 0],
    ['AWG 2/0', -1],
    ['AWG 0000', -3],
    ['2.5', undefined],
  ])('%j is gauge %j', (typed, gauge) => {
    expect(gaugeTyped(typed)).toBe(gauge);
  });

  it('is asked for its unit where it might mean either', async () => {
    await call(unitCommand, ['ambient', 'V-0107', '12'], folder);
    settle({ temperature: 'F' });
    await expect(call(unitCommand, ['ambient', 'V-0107', '54'], folder)).rejects.toThrow(/say 54F or 54C/);
    await expect(call(unitCommand, ['ambient', 'V-0107', '54', '--json'], folder)).rejects.toThrow(/54F/);
    expect((await call(unitCommand, ['ambient', 'V-0107', '-4F'], folder)).code).toBe(0);
    expect(await out(unitCommand, 'show', 'V-0107', '--json')).toContain('-20 °C');
  });
});
