// `throwbench rig`: who a rig is and what its inputs read with everything off; also gives it its id. Energises nothing.

import { REQUESTS } from '../../../firmware-protocol/index.js';
import type { RigSurvey } from '../../rig/index.js';
import {
  BENCH_OPTIONS,
  type BenchNamed,
  benchNamed,
  DEFAULT_RIG_PROFILE,
  loadBench,
  PORT_OPTION,
  PROFILE_OPTION,
  RIG_OPTION,
} from '../bench-named.js';
import { checkPort } from '../check-port.js';
import { type CommandIo, EXIT, refuseMore, UsageError } from '../command.js';
import { declared } from '../declared.js';
import { identityLines, lookLines, surveyJson } from '../rig-text.js';
import { onLeave } from '../signals.js';

/** Long enough for two hundred samples of a slow channel. */
const LOOK_S = 0.2;
/** Of the finer input, where the rig has one. */
const FINE_LOOK_S = 0.1;
/** From one reading to the next with --watch. */
const REPEAT_S = 0.5;
const [ID_FIELD] = REQUESTS['set-rig'].args;

export const command = declared(
  {
    calls: ['rig (--port PATH | --virtual CASE --profile P) [--watch] [--set-id ID] [--rig ID] [--json]'],
    options: {
      port: PORT_OPTION,
      virtual: BENCH_OPTIONS.virtual,
      profile: {
        ...PROFILE_OPTION,
        words: `the unit whose rig profile gives the scales (default with --port: ${DEFAULT_RIG_PROFILE})`,
      },
      watch: { type: 'boolean', default: false, words: `read again every ${REPEAT_S} s until Ctrl-C` },
      'set-id': {
        type: 'string',
        value: 'ID',
        words: `write this id into the board's EEPROM and read it back; up to ${ID_FIELD.maxChars} letters, digits, . _ -`,
      },
      rig: { ...RIG_OPTION, words: 'refuse any other rig than this one' },
      json: { type: 'boolean', default: false, words: 'one JSON object a reading' },
    },
    notes: `All outputs are switched off and stay off. Each reading is the mean over ${LOOK_S} s with its scatter.`,
    examples: ['rig --port /dev/ttyUSB0 --watch', 'rig --virtual good --profile window-lift-switch'],
    exit: '0 read, 2 usage or bad input, 3 rig trouble',
  },
  async ({ values, positionals }, io) => {
    refuseMore(positionals);
    const { rig, watch } = values;
    const newId = values['set-id'];
    const named = benchNamed(values);
    checkId('--set-id', newId);
    checkId('--rig', rig);
    const { survey, path, close } = await open(named, { rigId: rig, isPaced: watch }, io);
    const signals = watchFor(io);
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
        if (watch) await signals.orAfter(survey.link.options.clock.sleep(REPEAT_S - LOOK_S - FINE_LOOK_S));
      } while (watch && !signals.isAsked());
    } finally {
      signals.release();
      await close();
    }
    return EXIT.pass;
  },
);

function checkId(option: string, id: string | undefined): void {
  if (id === undefined || new RegExp(ID_FIELD.pattern).test(id)) return;
  throw new UsageError(
    `${option} is ${JSON.stringify(id)}; a rig id has 1 to ${ID_FIELD.maxChars} letters, digits, "." "_" "-"`,
  );
}

async function open(
  named: BenchNamed,
  { rigId, isPaced }: { rigId: string | undefined; isPaced: boolean },
  io: CommandIo,
): Promise<{ survey: RigSurvey; path: string; close(): Promise<void> }> {
  const { rigProfile, port, unit, virtualCase } = await loadBench(named);
  const { surveyRig } = await import('../../rig/index.js');
  const wanted = { rigProfile, ...(rigId === undefined ? {} : { rigId }) };
  if (unit && virtualCase) {
    const { openVirtualRig } = await import('../../virtual-rig/index.js');
    const bench = openVirtualRig({ unit, virtualCase, paced: isPaced });
    try {
      const survey = await surveyRig({ port: bench, clock: bench.clock, ...wanted });
      return { survey, path: bench.path, close: () => survey.close().finally(() => bench.close()) };
    } catch (error) {
      bench.close();
      throw error;
    }
  }
  if (port === undefined) throw new UsageError('a virtual rig needs a unit and a case');
  await checkPort(port);
  const { nativePort, wallClock } = await import('../../link/index.js');
  const onWaiting = (error: Error): void => io.stderr(`${error.message}; trying again\n`);
  const survey = await surveyRig({ port: await nativePort(port), clock: wallClock, onWaiting, ...wanted });
  return { survey, path: port, close: () => survey.close() };
}

/** Ctrl-C, a closed terminal and a closed pipe end the watching in good order. */
function watchFor(io: CommandIo) {
  const asked = new AbortController();
  const whenAsked = new Promise<void>((resolve) => {
    asked.signal.addEventListener('abort', () => resolve());
  });
  return {
    isAsked: () => asked.signal.aborted,
    orAfter: (wait: Promise<void>) => Promise.race([whenAsked, wait]),
    release: onLeave(io, () => asked.abort()),
  };
}
