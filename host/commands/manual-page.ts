// The manual page throwbench(1) as roff with the man macros (groff_man(7)), made from what the verbs declare.

import { capitalised } from '../tell/index.js';
import { callsOf, type Declaration } from './declaration.js';
import { callLines, rowsOf } from './usage-text.js';

export interface VerbTold {
  name: string;
  summary: string;
  declaration?: Declaration;
}

const ENVIRONMENT: readonly (readonly [string, string])[] = [
  ['THROWBENCH_LOGS', 'folder of the records; without it logs in the folder where throwbench is called'],
  ['THROWBENCH_PROFILES', 'folder with profiles of your own, looked through first'],
  ['THROWBENCH_SETTINGS', 'file of the settings; throwbench settings tells where it stands'],
  ['THROWBENCH_CACHE', 'folder of what is worked out for profiles and kept; off keeps nothing'],
  ['THROWBENCH_DEBUG', '1 shows where an error came from'],
];

/** The whole page, ending with a line break. */
export function manualPage(verbs: readonly VerbTold[], version: string): string {
  return [
    `.TH THROWBENCH 1 "" "throwbench ${text(version)}" "User Commands"`,
    '.SH NAME',
    'throwbench \\- tests reversing DC motors, their relays and harness, and keeps the record',
    '.SH SYNOPSIS',
    '.B throwbench',
    '.I VERB',
    '.RI [ options ]',
    '.SH DESCRIPTION',
    'Drives a small rig through the switch positions, measures currents and the voltage of both motor leads, holds them against what the circuit should do, and tells whether the unit is good, what is likely wrong with it and where to probe next. Alone at a terminal it opens the bench.',
    '.PP',
    'Clamp the motor and keep hands, hair and cloth clear: a geared motor pinches and can start either way. The stop switch of the rig must break the motor feed by itself; Space or Esc sends outputs off, and no software replaces the switch.',
    '.SH VERBS',
    ...verbs.flatMap(verbLines),
    '.SH EXIT STATUS',
    'Where a verb tells nothing else:',
    ...pairs([
      ['0', 'pass, or done'],
      ['1', 'fail'],
      ['2', 'usage or bad input'],
      ['3', 'cannot tell, or trouble with the rig'],
    ]),
    '.SH ENVIRONMENT',
    ...pairs(ENVIRONMENT),
    '',
  ].join('\n');
}

function verbLines({ name, summary, declaration }: VerbTold): string[] {
  const head = [`.SS ${text(name)}`, text(capitalised(summary))];
  if (declaration === undefined) return head;
  const { notes, examples, exit } = declaration;
  return [
    ...head,
    '.PP',
    '.nf',
    ...callLines(callsOf(declaration)).map(verbatim),
    '.fi',
    ...pairs(rowsOf(declaration)),
    ...(notes ?? '').split('\n\n').flatMap((part) => (part === '' ? [] : ['.PP', text(part)])),
    '.PP',
    'Examples:',
    '.PP',
    '.RS 4',
    '.nf',
    ...examples.map((example) => verbatim(`throwbench ${example}`)),
    '.fi',
    '.RE',
    ...(exit === undefined ? [] : ['.PP', `Exit status: ${text(exit)}`]),
  ];
}

const pairs = (rows: readonly (readonly [string, string])[]): string[] =>
  rows.flatMap(([name, words]) => ['.TP', `\\fB${text(name)}\\fR`, text(words)]);

/** In one line, with nothing in it that roff would obey: its escape, hyphens that are typed, a control sign first. */
const text = (words: string): string => verbatim(words.replace(/\s*\n\s*/g, ' ').trim());

const verbatim = (line: string): string =>
  line.replaceAll('\\', '\\e').replaceAll('-', '\\-').replace(/^[.']/, '\\&$&');
