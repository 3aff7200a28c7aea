// Which column of a foreign table is which: by what a person says, by headings and units, never by a guess between two.

import { CHANNEL, CHANNELS, type Channel } from './channels.js';
import { ACROSS_ROLE, FEED_COLUMN, POSITION_COLUMN } from './columns.js';
import type { Columns, ReadOptions } from './csv-header.js';
import { directionLines } from './direction-lines.js';
import { columnNamed, type ForeignTable, foreignTable, sameUnit } from './foreign-table.js';
import { foreignTimes } from './foreign-times.js';
import { channelOf, isAcrossMotor, isIndexName, kindOf, saysOf } from './headings.js';
import type { Layout } from './layout.js';
import { type Mapping, roleOf } from './mappings.js';
import { unitIn } from './preamble.js';
import { isSi } from './units.js';
import { isNearMiss, nothingWanted, unused } from './unread-columns.js';

type Claimed = Columns['channels'][number];

/** @throws InputError where something can be read two ways, or nothing is there to be read. */
export function foreignColumns(layout: Layout, file: string, options: ReadOptions): Columns {
  const table = foreignTable(layout, file, options);
  const { titles, free } = table;
  const lower = titles.map((title) => title.toLowerCase());
  // A position in numbers is that of something else.
  const wordsIn = (name: string): number | undefined =>
    indexOrNone(lower.findIndex((title, c) => title === name && layout.kinds[c] === 'text'));
  const position = wordsIn(POSITION_COLUMN);
  const feed = wordsIn(FEED_COLUMN);
  if (position !== undefined) free.delete(position);
  if (feed !== undefined) free.delete(feed);
  const told = mapped(table);
  const times = foreignTimes(table);
  const channels = claimed(table, told);
  const notes = [...times.notes, ...channels.flatMap(({ note }) => note ?? [])];
  if (channels.length === 0) throw nothingWanted(table);
  if (!layout.hasHeader)
    notes.unshift(
      told.length === 0
        ? 'The file has no header: its last column was taken as the motor current.'
        : 'The file has no header.',
    );
  const directions = position === undefined ? directionLines(titles, openLines(table, channels)) : undefined;
  for (const c of [directions?.forward, directions?.reverse]) if (c !== undefined) free.delete(c);
  notes.push(
    ...unused(
      table,
      channels.map(({ name }) => name),
    ),
  );
  if (position === undefined && directions === undefined) notes.push(NO_POSITIONS);
  const used = new Set([...channels.map(({ index }) => index), ...times.used, position]);
  const extras = titles.flatMap((name, index) =>
    used.has(index) || layout.headings[index] === '' ? [] : [{ name, index }],
  );
  return {
    count: titles.length,
    names: titles,
    times: times.times,
    position,
    directions,
    channels: channels.sort((one, two) => CHANNELS.indexOf(one.name) - CHANNELS.indexOf(two.name)),
    extras,
    notes,
    hasHeader: layout.hasHeader,
    isForeign: true,
  };
}

export const NO_POSITIONS = 'The file does not tell the positions thrown.';

/** Columns that none has taken, of words or bare numbers: no current and no voltage. */
const openLines = ({ free, layout, headings }: ForeignTable, channels: readonly Claimed[]): number[] =>
  layout.kinds.flatMap((kind, c) =>
    (free.has(c) || kind === 'text') &&
    headings[c] !== undefined &&
    kindOf(headings[c]) === undefined &&
    channels.every(({ index }) => index !== c)
      ? [c]
      : [],
  );

const indexOrNone = (index: number): number | undefined => (index < 0 ? undefined : index);

function mapped(table: ForeignTable): Claimed[] {
  const { options } = table;
  const asked: Mapping[] = [...(options.columns ?? [])];
  if (options.currentColumn !== undefined)
    asked.push({ channel: 'motorCurrentA', column: options.currentColumn });
  const claims: Claimed[] = [];
  for (const mapping of asked) {
    const index = columnNamed(table, mapping.column);
    const { channel } = mapping;
    if (claims.some((one) => one.name === channel && one.across === mapping.across))
      throw table.fault(`two columns are told for ${wordsOfColumn(channel, mapping.across)}`, 'tell one');
    if (claims.some((one) => isLead(one) && isLead({ name: channel }) && one.across !== mapping.across))
      throw table.fault('leads are told by themselves and by what is between them', 'tell one or the other');
    table.free.delete(index);
    claims.push(claimOf(table, channel, index, mapping));
  }
  table.titles.forEach((title, index) => {
    const name = CHANNELS.find((channel) => CHANNEL[channel].column.toLowerCase() === title.toLowerCase());
    if (name === undefined || !table.free.has(index) || claims.some((claim) => claim.name === name)) return;
    table.free.delete(index);
    claims.push(claimOf(table, name, index));
  });
  return claims;
}

/** @throws InputError where the unit of the column is not that of the channel and nothing says what one of it is. */
function claimOf(table: ForeignTable, name: Channel, index: number, mapping?: Mapping): Claimed {
  const { headings, titles, options, fault } = table;
  const title = titles[index] ?? '';
  const across = mapping?.across && { across: mapping.across };
  const wanted = CHANNEL[name].unit === 'A' ? 'current' : 'voltage';
  const unit = mapping?.unit ?? headings[index]?.unit;
  if (
    mapping?.unit &&
    headings[index]?.unit?.kind === wanted &&
    !sameUnit(mapping.unit, headings[index].unit)
  )
    return {
      name,
      index,
      ...across,
      unit: mapping.unit,
      note: `'${title}' is read in ${mapping.unit.name}, as told.`,
    };
  if (mapping?.factor !== undefined) return { name, index, ...across, factor: mapping.factor };
  const scale = wanted === 'current' ? options.currentScale : undefined;
  if (unit === undefined) return { name, index, ...across, assumed: true };
  if (unit.kind === wanted) return { name, index, ...across, unit };
  if (unit.kind === 'voltage' && scale !== undefined) return { name, index, unit };
  throw fault(
    `is in ${unit.name}, which is no ${wanted}`,
    wanted === 'current' && unit.kind === 'voltage'
      ? `give --current-scale, the amperes a volt of the clamp or shunt`
      : `say what one of it is: --column '${roleOf(name)}=${title}:FACTOR'`,
    title,
  );
}

function claimed(table: ForeignTable, told: Claimed[]): Claimed[] {
  const { headings, titles, free, options, layout, fault } = table;
  const claims = [...told];
  const has = (name: Channel): boolean => claims.some((claim) => claim.name === name);
  const open = [...free].filter(
    (c) => !isIndexName(headings[c]?.name ?? '') || headings[c]?.unit !== undefined,
  );
  const given = unitIn(layout.told);
  const unnamed = open.filter(
    (c) => headings[c]?.unit === undefined && saysOf(headings[c]?.name ?? '') === undefined,
  );
  if (given && unnamed.length === 1) {
    const [c] = unnamed;
    const heading = c === undefined ? undefined : headings[c];
    if (c !== undefined && heading) headings[c] = { ...heading, unit: given };
  }
  if (!layout.hasHeader) return bareCurrent(table, open, claims);
  const generic: number[] = [];
  const across: number[] = [];
  const volts: number[] = [];
  for (const index of open) {
    const heading = headings[index];
    if (heading === undefined || isNearMiss(heading, has)) continue;
    const name = channelOf(heading);
    const says = saysOf(heading.name);
    if (says === 'current' && heading.unit?.kind === 'voltage') {
      // A clamp's or shunt's volts: only with what one is.
      if (options.currentScale !== undefined && !has('motorCurrentA')) generic.push(index);
      continue;
    }
    if (heading.unit && says !== undefined && says !== 'time' && says !== heading.unit.kind)
      throw fault(
        `speaks of a ${says} and is in ${heading.unit.name}`,
        `say what it is: --column ROLE='${titles[index]}'`,
        titles[index],
      );
    if (name === undefined) {
      const kind = kindOf(heading);
      if (kind === 'current') generic.push(index);
      else if (isAcrossMotor(heading)) across.push(index);
      else if (kind === 'voltage') volts.push(index);
      continue;
    }
    const other = claims.find((claim) => claim.name === name);
    if (other && told.includes(other)) continue;
    if (other)
      throw fault(
        `'${titles[other.index]}' and '${titles[index]}' may both be ${CHANNEL[name].words}`,
        `say which: --column '${roleOf(name)}=${titles[index]}'`,
      );
    free.delete(index);
    claims.push(claimOf(table, name, index));
  }
  if (!has('motorCurrentA') && generic.length > 0) {
    const [only, second] = generic;
    if (only !== undefined && second !== undefined)
      throw fault(
        `'${titles[only]}' and '${titles[second]}' may both be the motor current`,
        `say which: --column 'motor=${titles[only]}' or --column 'motor=${titles[second]}'`,
      );
    if (only !== undefined) {
      free.delete(only);
      claims.push(claimOf(table, 'motorCurrentA', only));
    }
  }
  return [...claims, ...betweenLeads(table, claims, { across, volts })];
}

const isLead = ({ name }: Pick<Claimed, 'name'>): boolean =>
  name === 'leadAVoltageV' || name === 'leadBVoltageV';

/** The voltage between the leads: by its name, or a lone voltage of which the readings are to tell. @throws InputError */
function betweenLeads(
  table: ForeignTable,
  claims: readonly Claimed[],
  { across, volts }: { across: readonly number[]; volts: readonly number[] },
): Claimed[] {
  if (claims.some(isLead)) return [];
  const { titles, fault, free } = table;
  const [only, second] = across;
  if (only !== undefined && second !== undefined)
    throw fault(
      `'${titles[only]}' and '${titles[second]}' may both be the motor voltage`,
      `say which: --column '${ACROSS_ROLE}=${titles[only]}'`,
    );
  const isCurrentRead = claims.some(({ name }) => name === 'motorCurrentA' || name === 'feedCurrentA');
  const lone = volts.length === 1 && isCurrentRead ? volts[0] : undefined;
  const index = only ?? lone;
  if (index === undefined) return [];
  free.delete(index);
  return [{ ...claimOf(table, 'leadAVoltageV', index), across: only === undefined ? 'perhaps' : 'motor' }];
}

/** Without headings: the one column that is left. */
function bareCurrent(table: ForeignTable, open: number[], claims: Claimed[]): Claimed[] {
  if (claims.length > 0) return claims;
  const [only, second] = open;
  if (only === undefined) return claims;
  if (second !== undefined)
    throw table.fault(
      `nothing heads its columns, and ${open.length} of them may be the motor current`,
      `say which by number: --column motor=${open[open.length - 1] === undefined ? 2 : second + 1}`,
    );
  table.free.delete(only);
  return [claimOf(table, 'motorCurrentA', only)];
}

/** What a column holds, in words. */
export const wordsOfColumn = (channel: Channel, across: Claimed['across']): string =>
  across ? 'the motor voltage' : CHANNEL[channel].words;

/** Scale in words, for the line that tells what was understood. */
export function scaleTold(
  { name, unit, factor, assumed }: Claimed,
  currentScale: number | undefined,
): string {
  const si = CHANNEL[name].unit;
  const scaled = si === 'A' && currentScale !== undefined;
  if (factor !== undefined) return `times ${factor} ${si}`;
  if (unit && scaled)
    return unit.kind === 'voltage'
      ? `in ${unit.name}, ${currentScale} A a volt`
      : `in ${unit.name}, times ${currentScale}`;
  if (scaled) return `times ${currentScale} A`;
  if (unit) return isSi(unit) ? `in ${unit.name}` : `in ${unit.name} (x ${unit.up / unit.down})`;
  return assumed ? `taken as ${si}` : `in ${si}`;
}
