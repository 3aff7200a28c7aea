// What is said of the columns of a foreign table that nothing was read from: a misspelt heading, one that looks like what is
// wanted, and those of other things.

import { editDistance, type InputError, nearestName } from '../input/index.js';
import { listed } from '../tell/index.js';
import { CHANNEL, CHANNELS, type Channel } from './channels.js';
import { ACROSS_ROLE, CHANNEL_COLUMNS, POSITION_COLUMN, TIME_COLUMN } from './columns.js';
import { HEADER_HINT } from './csv-header.js';
import type { ForeignTable } from './foreign-table.js';
import { type Heading, isIndexName, kindOf, saysOf } from './headings.js';
import { roleOf } from './mappings.js';

/** A misspelt heading of this program's own: told, never taken. */
export function isNearMiss({ text }: Heading, has: (name: Channel) => boolean): boolean {
  const spelt = text.toLowerCase();
  return CHANNELS.some((name) => {
    const house = CHANNEL[name].column.toLowerCase();
    return (
      /^\w+$/.test(spelt) &&
      !has(name) &&
      spelt.at(-1) === house.at(-1) &&
      !/_[pnumk][av]$/.test(spelt) &&
      editDistance(spelt, house) === 1
    );
  });
}

/** Where no column was taken at all. */
export function nothingWanted({ layout, titles, headings, fault, free }: ForeignTable): InputError {
  const absent = [TIME_COLUMN, POSITION_COLUMN, ...CHANNEL_COLUMNS];
  const near = titles
    .flatMap((name) => nearestName(name, absent) ?? [])
    .find((name) => CHANNEL_COLUMNS.includes(name));
  const clamp = [...free].find(
    (c) => headings[c]?.unit?.kind === 'voltage' && saysOf(headings[c]?.name ?? '') === 'current',
  );
  if (clamp !== undefined)
    return fault(
      `is headed as a current but is in ${headings[clamp]?.unit?.name}`,
      'give --current-scale, the amperes a volt of the clamp or shunt',
      titles[clamp],
    );
  const volts = [...free].find((c) => headings[c] && kindOf(headings[c]) === 'voltage');
  if (volts !== undefined && !near)
    return fault(
      `holds a voltage, but nothing says of what`,
      `say --column '${ACROSS_ROLE}=${titles[volts]}', lead-a=, lead-b= or supply=; or motor= with --current-scale for a clamp`,
      titles[volts],
    );
  const mend = near
    ? `did you mean ${near}?`
    : `name at least one of ${CHANNEL_COLUMNS.join(', ')}, or tell the motor's with --current-column`;
  return fault(
    'no column holds a current or voltage',
    layout.hasHeader ? mend : `start it with ${HEADER_HINT}`,
  );
}

/** A sentence for each column that may have been wanted, and one for all others. @param read channels that were taken */
export function unused({ free, headings, titles }: ForeignTable, read: readonly Channel[]): string[] {
  const missing = CHANNELS.filter((name) => !read.includes(name));
  const wanted: string[] = [];
  const others: string[] = [];
  for (const c of free) {
    const heading = headings[c];
    if (heading === undefined) continue;
    const title = `'${titles[c]}'`;
    const kind = kindOf(heading);
    if (isNearMiss(heading, (name) => !missing.includes(name))) {
      const near = nearestName(heading.text, CHANNEL_COLUMNS);
      wanted.push(`Column ${title} is not known and was not read; was ${near} meant?`);
    } else if (kind === 'current' || kind === 'voltage') {
      const role = missing.find((name) => (CHANNEL[name].unit === 'A') === (kind === 'current'));
      const how =
        role === undefined ? '' : `; say what it is, such as --column '${roleOf(role)}=${titles[c]}'`;
      wanted.push(`Column ${title} looks like a ${kind} and was not used${how}.`);
    } else if (isOther(heading)) others.push(title);
  }
  if (others.length > 0)
    wanted.push(`Not read, as nothing here needs ${others.length === 1 ? 'it' : 'them'}: ${listed(others)}.`);
  return wanted;
}

/** No count of rows, nor what a motor's fit takes: logic lines, temperatures and the like. */
const isOther = (heading: Heading): boolean =>
  kindOf(heading) !== 'time' &&
  heading.text.trim() !== '' &&
  !isIndexName(heading.name) &&
  !/speed|rpm|duty|pwm/i.test(heading.name);
