// `throwbench rig`: who a rig is and what its inputs read with everything off; also gives it its id. Energises nothing.

import { REQUESTS } from '../../firmware-protocol/index.js';
import type { RigSurvey } from '../rig/index.js';
import { checkPort } from './check-port.js';
import { type Command, type CommandIo, EXIT, parseCommandArgs, UsageError } from './command.js';
import { identityLines, lookLines, surveyJson } from './rig-text.js';

const DEFAULT_RIG_PROFILE = 'reference-rig';
/** Long enough for two hundred samples of a slow channel. */
const LOOK_S = 0.2;
/** From one reading to the next with --watch. */
const REPEAT_S = 0.5;
const [ID_FIELD] = REQUESTS['set-rig'].args;

interface Choice {
  port: string | undefined;
  virtual: string | undefined;
  profile: string | undefined;
  rig: string | undefined;
  isPaced: boolean;
}

export const rigCommand: Command = {
  name: 'rig',
  summary: 'tell who a rig is and what it reads at rest, name it',
  usage: `usage: throwbench rig (--port PATH | --virtual CASE --profile P) [--watch] [--set-id ID] [--rig ID] [--json]

  --port PATH     the rig on this serial port (throwbench ports lists them)
  --virtual CASE  the virtual bench, with this case on it: an id under profiles/demo/cases, or a YAML file
  --profile P     the unit whose rig profile gives the scales (default with --port: ${DEFAULT_RIG_PROFILE})
  --watch         read again every ${REPEAT_S} s until Ctrl-C
  --set-id ID     write this id into the board's EEPROM and read it back; up to ${ID_FIELD.maxChars} letters, digits, . _ -
  --rig ID        refuse any other rig than this one
  --json          one JSON object a reading

All outputs are switched off and stay off. Each reading is the mean over ${LOOK_S} s with its scatter.

exit status: 0 read, 2 usage or bad input, 3 rig trouble
`,
  async run(args, io) {
    const { values, positionals } = parseCommandArgs(args, {
      port: { type: 'string' },
      virtual: { type: 'string' },
      profile: { type: 'string' },
      watch: { type: 'boolean', default: false },
      'set-id': { type: 'string' },
      rig: { type: 'string' },
      json: { type: 'boolean', default: false },
    });
    if (positionals.length > 0)
      throw new UsageError(`${JSON.stringify(positionals[0])} is one word too many`);
    const { port, virtual, profile, rig, watch } = values;
    const newId = values['set-id'];
    if (port && virtual) throw new UsageError('--port and --virtual exclude each other: name one rig');
    if (!port && !virtual) throw new UsageError('which rig? name it with --port PATH or --virtual CASE');
    if (virtual && !profile) throw new UsageError('--profile P is missing: what is on the virtual bench?');
    checkId('--set-id', newId);
    checkId('--rig', rig);
    const { survey, path, close } = await open({ port, virtual, profile, rig, isPaced: watch }, io);
    const signals = onSignals(io);
    try {
      if (newId !== undefined) {
        const { isProven } = await survey.storeId(newId);
        const how = isProven
          ? 'read back from its EEPROM after a restart of the board'
          : 'the board answers with it; it did not restart, so unplug it once and ask again';
        io.stderr(`rig id ${newId} stored: ${how}\n`);
      }
      if (!values.json) {
        const lines = identityLines(path, survey.board, await survey.limits());
        io.stdout(`${lines.join('\n')}\n`);
      }
      do {
        const look = await survey.look(LOOK_S);
        if (values.json) {
          const reading = surveyJson(path, survey.board, await survey.limits(), look);
          io.stdout(`${JSON.stringify(reading)}\n`);
        } else io.stdout(`\n${lookLines(look).join('\n')}\n`);
        if (watch) await signals.orAfter(survey.link.options.clock.sleep(REPEAT_S - LOOK_S));
      } while (watch && !signals.isAsked());
    } finally {
      signals.release();
      await close();
    }
    return EXIT.pass;
  },
};

function checkId(option: string, id: string | undefined): void {
  if (id === undefined || new RegExp(ID_FIELD.pattern).test(id)) return;
  throw new UsageError(
    `${option} is ${JSON.stringify(id)}; a rig id has 1 to ${ID_FIELD.maxChars} letters, digits, "." "_" "-"`,
  );
}

async function open(
  { port, virtual, profile, rig, isPaced }: Choice,
  io: CommandIo,
): Promise<{ survey: RigSurvey; path: string; close(): Promise<void> }> {
  const { loadCase, loadRig, loadUnit } = await import('../profile/index.js');
  const { surveyRig } = await import('../rig/index.js');
  const unit = profile === undefined ? undefined : loadUnit(profile);
  const rigProfile = unit?.rig ?? loadRig(DEFAULT_RIG_PROFILE);
  const wanted = rig === undefined ? {} : { rigId: rig };
  if (port === undefined) {
    const { openVirtualRig } = await import('../virtual-rig/index.js');
    const bench = openVirtualRig({ unit: unit!, virtualCase: loadCase(virtual!), paced: isPaced });
    try {
      const survey = await surveyRig({ port: bench, clock: bench.clock, rigProfile, ...wanted });
      return { survey, path: bench.path, close: () => survey.close().finally(() => bench.close()) };
    } catch (error) {
      bench.close();
      throw error;
    }
  }
  await checkPort(port);
  const { nativePort, wallClock } = await import('../link/index.js');
  const onWaiting = (error: Error): void => io.stderr(`${error.message}; trying again\n`);
  const survey = await surveyRig({
    port: await nativePort(port),
    clock: wallClock,
    rigProfile,
    onWaiting,
    ...wanted,
  });
  return { survey, path: port, close: () => survey.close() };
}

/** Ctrl-C, a closed terminal and a closed pipe end the watching in good order. */
function onSignals(io: CommandIo) {
  const names = ['SIGINT', 'SIGTERM', 'SIGHUP'] as const;
  let isAsked = false;
  let ask = (): void => {};
  const asked = new Promise<void>((resolve) => {
    ask = () => {
      isAsked = true;
      resolve();
    };
  });
  for (const name of names) process.on(name, ask);
  io.closed?.addEventListener('abort', ask, { once: true });
  return {
    isAsked: () => isAsked,
    orAfter: (wait: Promise<void>) => Promise.race([asked, wait]),
    release() {
      for (const name of names) process.off(name, ask);
      io.closed?.removeEventListener('abort', ask);
    },
  };
}
