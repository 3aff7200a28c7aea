// The forms in which this workshop wants temperatures, wire sizes and days told, from its settings file. Most files say
// nothing of them, and a start should not take the time to read one whole for that.

import { existsSync, readFileSync } from 'node:fs';
import { settingsPath } from '../program/index.js';
import { type Forms, PLAIN_FORMS } from '../tell/index.js';

/** Words of the file without which it settles none. */
const SAYS_SOMETHING = /temperature|wire|date/;

/** @throws InputError with file and line for a file that cannot be meant */
export async function settledForms(path = settingsPath()): Promise<Forms> {
  if (!existsSync(path) || !SAYS_SOMETHING.test(readFileSync(path, 'utf8'))) return PLAIN_FORMS;
  const { readSettings } = await import('./settings.js');
  const { temperature, wire, date } = readSettings(path);
  return {
    temperature: temperature ?? PLAIN_FORMS.temperature,
    wire,
    date: date ?? PLAIN_FORMS.date,
  };
}
