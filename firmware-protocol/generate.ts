// Writes what follows from messages.ts: firmware/protocol.h, and the tables of PROTOCOL.md between their markers; and from
// RIG.md and the sheets what a builder orders and joins.
// `npm run generate`; a test holds the committed files against what this gives.

import { readdirSync, readFileSync, writeFileSync } from 'node:fs';
import { fileURLToPath } from 'node:url';
import {
  BOARD,
  BOARD_MAKER,
  BOARD_MODEL,
  DEFAULT_SCAN,
  FIRMWARE_VERSION,
  PROTOCOL_VERSION,
  SCAN_LETTERS,
} from './board-constants.js';
import { netsCsv, orderCsv, partsCsv } from './build-lists.js';
import { allowed } from './fields.js';
import {
  BURST_EDGES,
  BUSES,
  COILS,
  EVENTS,
  FEEDS,
  type Field,
  LOOPS,
  type Message,
  MODES,
  POSITIONS,
  REFUSALS,
  REQUESTS,
  RESET_CAUSES,
  STOP_REASONS,
  SWITCH,
} from './messages.js';

const HEADER = new URL('./firmware/protocol.h', import.meta.url);
const MANUAL = new URL('./PROTOCOL.md', import.meta.url);
const RIG_DOCUMENT = new URL('./RIG.md', import.meta.url);
const SHEETS = new URL('./schematic/', import.meta.url);
const inThisFolder = (name: string): URL => new URL(`./${name}`, import.meta.url);
const requests = Object.entries(REQUESTS) as [string, Message][];

/** The texts of all sheets, in their order. */
export const sheetTexts = (): string[] =>
  readdirSync(SHEETS)
    .filter((name) => name.endsWith('.sheet'))
    .sort()
    .map((name) => readFileSync(new URL(name, SHEETS), 'utf8'));

/** The C header of the firmware. */
export function cHeader(): string {
  const lines = [
    '/* Made by `npm run generate` from firmware-protocol/messages.ts and board-constants.ts: change those, never this. */',
    '#ifndef PROTOCOL_H',
    '#define PROTOCOL_H',
    '',
    `#define PROTOCOL_VERSION ${PROTOCOL_VERSION}`,
    `#define FIRMWARE_VERSION "${FIRMWARE_VERSION}"`,
    `#define BOARD_MAKER "${BOARD_MAKER}"`,
    `#define BOARD_MODEL "${BOARD_MODEL}"`,
    ...Object.entries(BOARD).map(
      ([name, value]) => `#define ${upper(name)} ${value}${value > 32767 ? 'UL' : ''}`,
    ),
    `#define DEFAULT_SCAN "${DEFAULT_SCAN}"`,
    `#define SCAN_LETTERS "${lettersByInput()}"`,
    ...Object.entries(SCAN_LETTERS).map(([letter, { adc }]) => `#define ADC_INPUT_${letter} ${adc}`),
    '',
    '/* Word lists: words end in a zero each, the list in an empty word; a word is known by its place from 0. */',
    ...wordList('position', POSITIONS),
    ...wordList('feed', FEEDS),
    ...wordList('mode', MODES),
    ...wordList('loop', LOOPS),
    ...wordList('bus', BUSES),
    ...wordList('coil', COILS),
    ...wordList('switch', SWITCH),
    ...wordList(
      'stop',
      STOP_REASONS.map((reason) => reason.name),
    ),
    ...wordList('reset', RESET_CAUSES),
    ...wordList(
      'verb',
      requests.map(([verb]) => verb),
    ),
    ...wordList('event', Object.keys(EVENTS)),
    ...wordList('burst-edge', BURST_EDGES),
    '',
    '/* Number of arguments by verb. */',
    `#define VERB_ARGUMENTS { ${requests.map(([, message]) => message.args.length).join(', ')} }`,
    '/* 1: not carried out again when the same line comes twice. */',
    `#define VERB_ACTS { ${requests.map(([, message]) => Number(message.acts)).join(', ')} }`,
    '',
    '/* Ranges and words of arguments. */',
    ...requests.flatMap(([verb, message]) => message.args.flatMap((field) => argumentMacros(verb, field))),
    '',
    '/* Refusals. */',
    ...REFUSALS.map((refusal) => `#define REFUSED_${upper(refusal.name)} ${refusal.number}`),
    '',
    '#endif',
    '',
  ];
  return lines.join('\n');
}

/** PROTOCOL.md with every stretch between `<!-- made: X -->` and `<!-- end: X -->` renewed. Throws on an unknown X. */
export function renewManual(text: string): string {
  const tables: Record<string, () => string> = {
    requests: requestTable,
    replies: replyTable,
    refusals: refusalTable,
    stops: stopTable,
    events: eventTable,
    constants: constantTable,
    scan: scanTable,
  };
  return text.replace(/<!-- made: (\w+) -->\n[\s\S]*?<!-- end: \1 -->/g, (_, name: string) => {
    const table = tables[name];
    if (!table)
      throw new Error(
        `PROTOCOL.md asks for a table named ${name}; there are ${Object.keys(tables).join(', ')}`,
      );
    return `<!-- made: ${name} -->\n${table()}\n<!-- end: ${name} -->`;
  });
}

function upper(name: string): string {
  return name
    .replace(/([a-z0-9])([A-Z])/g, '$1_$2')
    .replaceAll('-', '_')
    .toUpperCase();
}

function lettersByInput(): string {
  return Object.entries(SCAN_LETTERS)
    .sort(([, a], [, b]) => a.adc - b.adc)
    .map(([letter]) => letter)
    .join('');
}

function wordList(name: string, words: readonly string[]): string[] {
  return [
    `#define ${upper(name)}_WORDS "${words.join('\\0')}\\0"`,
    `enum ${name.replaceAll('-', '_')}_word { ${words.map((word) => `${upper(name)}_${upper(word)}`).join(', ')} };`,
  ];
}

function argumentMacros(verb: string, field: Field): string[] {
  const name = `${upper(verb)}_${upper(field.name)}`;
  if (field.kind === 'word') return [`#define ${name}_WORDS "${field.words.join('\\0')}\\0"`];
  if (field.kind === 'number')
    return [`#define ${name}_MIN ${field.min}U`, `#define ${name}_MAX ${field.max}U`];
  return [];
}

/** Columns padded to one width, as the formatter wants them. */
function table(head: string[], rows: string[][]): string {
  const cells = [head, ...rows].map((row) => row.map((cell) => cell.replaceAll('|', '\\|')));
  const widths = head.map((_, column) => Math.max(3, ...cells.map((row) => row[column]!.length)));
  const lines = cells.map(
    (row) => `| ${row.map((cell, column) => cell.padEnd(widths[column]!)).join(' | ')} |`,
  );
  return [lines[0], `| ${widths.map((width) => '-'.repeat(width)).join(' | ')} |`, ...lines.slice(1)].join(
    '\n',
  );
}

function requestTable(): string {
  return table(
    ['request', 'does', 'needs', 'arguments', 'reply fields'],
    requests.map(([verb, message]) => [
      `\`${[verb, ...message.args.map((field) => `<${field.name}>`)].join(' ')}\``,
      message.says,
      message.needs || '-',
      message.args.map((field) => `${field.name}: ${allowed(field)}; ${field.says}`).join('<br>') || '-',
      message.reply.map((field) => field.name).join(' ') || '-',
    ]),
  );
}

function replyTable(): string {
  return table(
    ['request', 'field', 'values', 'meaning'],
    requests.flatMap(([verb, message]) =>
      message.reply.map((field) => [
        `\`${verb}\``,
        field.name,
        allowed(field),
        field.since ? `${field.says}; from firmware ${field.since} on` : field.says,
      ]),
    ),
  );
}

function refusalTable(): string {
  return table(
    ['number', 'name', 'meaning', 'detail'],
    REFUSALS.map((refusal) => [String(refusal.number), refusal.name, refusal.sentence, refusal.detail]),
  );
}

function stopTable(): string {
  return table(
    ['number', 'word', 'meaning'],
    STOP_REASONS.map((reason, index) => [String(index), `\`${reason.name}\``, reason.sentence]),
  );
}

function eventTable(): string {
  return table(
    ['event', 'meaning', 'fields'],
    Object.entries(EVENTS).map(([name, event]) => [
      `\`!${name}\``,
      event.says,
      (event.fields as readonly Field[])
        .map((field) => `${field.name}: ${allowed(field)}; ${field.says}`)
        .join('<br>'),
    ]),
  );
}

function constantTable(): string {
  return table(
    ['constant', 'value'],
    [
      ['protocol version', String(PROTOCOL_VERSION)],
      ['firmware version', FIRMWARE_VERSION],
      ...Object.entries(BOARD).map(([name, value]) => [name, String(value)]),
    ],
  );
}

function scanTable(): string {
  return table(
    ['letter', 'ADC input', 'reads'],
    Object.entries(SCAN_LETTERS).map(([letter, { adc, reads }]) => [letter, String(adc), reads]),
  );
}

if (process.argv[1] === fileURLToPath(import.meta.url)) {
  writeFileSync(HEADER, cHeader());
  writeFileSync(MANUAL, renewManual(readFileSync(MANUAL, 'utf8')));
  const rigDocument = readFileSync(RIG_DOCUMENT, 'utf8');
  writeFileSync(inThisFolder('parts.csv'), partsCsv(rigDocument));
  writeFileSync(inThisFolder('order.csv'), orderCsv(rigDocument));
  writeFileSync(inThisFolder('nets.csv'), netsCsv(sheetTexts()));
}
