#!/usr/bin/env node
// Arguments to a command, errors to one line and an exit code; nothing else.

import { type CommandIo, EXIT, sendingBeside, UsageError, VERBS } from './commands/index.js';

/** Shows what would steer a terminal; until it is loaded only this program's own help is written. */
let readable = (text: string): string => text;
const guardOutput = async (): Promise<void> => {
  readable = (await import('./input/index.js')).visible;
};

/** What the program alone does at a terminal. */
const ALONE = 'bench';

const HELP_WORDS = new Set(['help', '--help', '-h']);
const VERSION_WORDS = new Set(['version', '--version', '-v', '-V']);

/** Trouble with the port that is bad input: the port named is missing, forbidden or no serial port. */
const PORT_INPUT = new Set(['port-not-found', 'port-permission', 'port-not-serial']);

function helpText(): string {
  const width = Math.max(...VERBS.map((verb) => verb.name.length));
  return [
    'throwbench: tests reversing DC motors, their relays and harness, and keeps the record',
    '',
    'usage: throwbench VERB [options]      throwbench VERB --help tells more',
    '',
    ...VERBS.map((verb) => `  ${verb.name.padEnd(width)}  ${verb.summary}`),
    '',
    'examples:',
    '  throwbench tray tray                 the demo on the virtual bench',
    '  throwbench profile new               a profile of your own, by questions',
    '  throwbench log show last             the record of the last run',
    '',
    'exit status: 0 pass, 1 fail, 2 usage or bad input, 3 cannot tell or rig trouble; -v tells the version',
    '',
  ].join('\n');
}

/** What people type without the verb that it belongs to. */
const OF_LOG = new Set(['compare', 'show', 'list', 'stats', 'verify', 'backup', 'archive', 'site']);

async function dispatch(args: string[], io: CommandIo): Promise<number> {
  const [first, ...rest] = args;
  const word = first ?? (io.terminal && process.env.TERM !== 'dumb' ? ALONE : undefined);
  if (word === undefined) {
    io.stderr(helpText());
    return EXIT.usage;
  }
  if (VERSION_WORDS.has(word)) {
    const { programVersion } = await import('./program/index.js');
    io.stdout(`${programVersion()}\n`);
    return EXIT.pass;
  }
  const asked = HELP_WORDS.has(word) ? rest[0] : word;
  if (asked === undefined) {
    io.stdout(helpText());
    return EXIT.pass;
  }
  try {
    const verb = VERBS.find((candidate) => candidate.name === asked);
    if (verb === undefined) {
      const known = VERBS.map((candidate) => candidate.name);
      if (OF_LOG.has(asked))
        throw new UsageError(`${JSON.stringify(asked)} is of the records: throwbench log ${asked}`);
      throw new UsageError(`unknown verb ${JSON.stringify(asked)}`, { word: asked, known });
    }
    const { command } = await verb.load();
    const options = rest.includes('--') ? rest.slice(0, rest.indexOf('--')) : rest;
    if (HELP_WORDS.has(word) || options.includes('--help') || options.includes('-h')) {
      const part = (HELP_WORDS.has(word) ? rest.slice(1) : options).find((each) => !each.startsWith('-'));
      const usage = (part && command.usageOf?.(part)) || command.usage;
      io.stdout(`${usage.trimEnd()}\n`);
      return EXIT.pass;
    }
    await guardOutput();
    if (!verb.records) return await command.run(rest, io);
    return await sendingBeside(() => command.run(rest, io), io);
  } catch (error) {
    return tell(error, VERBS.some((verb) => verb.name === asked) ? asked : '', io);
  }
}

/** One line for the user (two where the rig has advice); the stack only where THROWBENCH_DEBUG=1 asks for it. */
async function tell(error: unknown, verb: string, io: CommandIo): Promise<number> {
  await guardOutput();
  const who = verb === '' ? 'throwbench' : `throwbench ${verb}`;
  if (!(error instanceof Error)) {
    io.stderr(`${who}: ${String(error)}\n`);
    return EXIT.cannotTell;
  }
  if (process.env.THROWBENCH_DEBUG === '1') io.stderr(`${error.stack}\n`);
  const line = error.message.replace(/\s*\n\s*/g, ' ').trim() || error.name;
  if (error instanceof UsageError) {
    io.stderr(`${who}: ${line}; ${await mendOf(error, who)}\n`);
    return EXIT.usage;
  }
  io.stderr(`${who}: ${line}\n`);
  if ('advice' in error) io.stderr(`  ${error.advice}\n`);
  // By name and code, so that a failing verb need not load modules it never used.
  if (error.name === 'InputError') return EXIT.usage;
  return 'code' in error && PORT_INPUT.has(String(error.code)) ? EXIT.usage : EXIT.cannotTell;
}

/** As many names as are told where none is like what was typed. */
const MOST_NAMED = 8;

async function mendOf({ misspelt }: UsageError, who: string): Promise<string> {
  if (misspelt) {
    const { nearestName } = await import('./input/index.js');
    const near = nearestName(misspelt.word, misspelt.known);
    if (near !== undefined) return `did you mean ${near}?`;
    if (misspelt.known.length <= MOST_NAMED) return `it may be ${misspelt.known.join(', ')}`;
  }
  return `${who} --help tells more`;
}

function processIo(): CommandIo {
  const closed = new AbortController();
  process.stdout.on('error', () => closed.abort());
  process.stderr.on('error', () => closed.abort());
  const isTty = process.stdin.isTTY === true && process.stdout.isTTY === true;
  return {
    stdout: (text) => {
      if (!closed.signal.aborted) process.stdout.write(readable(text));
    },
    stderr: (text) => {
      if (!closed.signal.aborted) process.stderr.write(readable(text));
    },
    isTty,
    stdin: process.stdin,
    isAttended: process.stdin.isTTY === true,
    columns: process.stdout.columns ?? 80,
    rows: process.stdout.rows ?? 24,
    cwd: process.cwd(),
    closed: closed.signal,
    ...(isTty ? { terminal: { stdin: process.stdin, stdout: process.stdout } } : {}),
  };
}

/** Flushes first, since a pipe may still hold text; then leaves, whatever handles a driver forgot. */
function leave(code: number): void {
  process.exitCode = code;
  process.stdout.write('', () => process.stderr.write('', () => process.exit(code)));
}

// Costs as much as the verb itself, so only for those who read stacks.
if (process.env.THROWBENCH_DEBUG === '1') process.setSourceMapsEnabled(true);
const io = processIo();
// A crash must not leave with the code that means "the unit failed". The board puts outputs off by itself.
process.on('uncaughtException', (error) => void tell(error, '', io).then(() => leave(EXIT.cannotTell)));
leave(await dispatch(process.argv.slice(2), io));
