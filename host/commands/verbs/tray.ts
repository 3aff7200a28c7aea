// `throwbench tray`: a list of units one after the other; the demo tray is one such list.

import { resolve } from 'node:path';
import { known } from '../../fields/index.js';
import type { SessionRequest, SessionUnit } from '../bench-driver.js';
import { ASK_WAY_OPTION, LINES_OPTIONS, PORT_OPTION, RIG_OPTION, SHORT_OPTION } from '../bench-named.js';
import { AMBIENT_OPTION, LEARNED_OPTION } from '../capture-options.js';
import { refuseMore, UsageError } from '../command.js';
import { declared } from '../declared.js';

export const command = declared(
  {
    calls: [
      'tray FILE [--port PATH [--rig ID]] [--short] [--ask-way] [--ambient-c C] [--motor ID] [--json] [--plain]',
      'tray --resume [--port PATH [--rig ID]] [--ask-way] [--json] [--plain]',
    ],
    takes: [
      {
        name: 'FILE',
        words: 'the list of units: a YAML file, or an id under profiles/demo',
        offer: 'tray',
      },
    ],
    options: {
      resume: {
        type: 'boolean',
        default: false,
        words: 'go on with the last tray exactly where it stood, after a stop, a crash or a closed lid',
      },
      port: {
        ...PORT_OPTION,
        words:
          'the rig on this serial port; without it the virtual bench, with the case that each unit names',
      },
      rig: RIG_OPTION,
      short: SHORT_OPTION,
      'ask-way': ASK_WAY_OPTION,
      'ambient-c': AMBIENT_OPTION,
      learned: {
        ...LEARNED_OPTION,
        words: 'limits from known good units of one of its profiles, as throwbench learn wrote them',
      },
      motor: {
        type: 'string',
        value: 'ID',
        words: 'this motor in place of that of every profile; unknown: one without a sheet, which is graded',
        offer: 'motor',
      },
      ...LINES_OPTIONS,
    },
    examples: ['tray tray', 'tray today.yaml --port /dev/ttyUSB0 --ambient-c 8', 'tray --resume'],
    exit: '0 all pass, 1 one or more fail, 2 usage or bad input, 3 cannot tell or rig trouble',
  },
  async ({ values, positionals }, io) => {
    const [file, ...more] = positionals;
    if (file === undefined && !values.resume) throw new UsageError('FILE is missing: which tray?');
    refuseMore(values.resume ? positionals : more);
    const { port, rig } = values;
    if (rig && !port) throw new UsageError('--rig goes with --port');
    if (values.resume && (values['ambient-c'] ?? values.motor ?? values.learned) !== undefined)
      throw new UsageError(
        '--ambient-c, --motor and --learned go with a new tray; one that goes on keeps its own',
      );
    const { readSettings } = await import('../settings.js');
    const settings = readSettings();
    const isShort = values.short ?? settings.short;
    const list = values.resume ? await resumed(values) : await listed(file ?? '', values, isShort);
    const request = { ...list, settings: { ...settings, ...known({ askWay: values['ask-way'] }) } };
    const { sitAtBench } = await import('../bench-session.js');
    return sitAtBench(request, values, io, async (...asked) =>
      (await import('../open-bench.js')).openBench(...asked),
    );
  },
);

interface TrayValues {
  port?: string | undefined;
  rig?: string | undefined;
  'ambient-c'?: string | undefined;
  learned?: string | undefined;
  motor?: string | undefined;
}

/** The list of a file. @throws InputError */
async function listed(
  file: string,
  values: TrayValues,
  isShort: boolean | undefined,
): Promise<SessionRequest> {
  const { port, rig } = values;
  // Only now, so that a wrong call is answered at once.
  const { loadAsRun, unitAsRun } = await import('../unit-as-run.js');
  const { InputError } = await import('../../input/index.js');
  const { loadTray, loadUnit, readLearned } = await import('../../profile/index.js');
  const { caseOn } = await import('../case-on.js');
  if (/\.(csv|tsv|xlsx?|ods)$/i.test(file)) {
    const saved = /\.[ct]sv$/i.test(file) ? '' : 'save it as CSV, then ';
    throw new InputError({
      file,
      what: 'is a table, and a tray is a YAML file',
      mend: `${saved}throwbench job import FILE --job JOB and throwbench job tray JOB --out today.yaml`,
    });
  }
  // Limits are of one profile: the other units of the tray are held to what they were before.
  const taught = values.learned === undefined ? undefined : readLearned(resolve(values.learned)).profile;
  const tray = loadTray(file).units.map((entry) => ({
    entry,
    loaded: loadAsRun(entry.profile, isShort, known({ motor: values.motor })),
  }));
  if (taught !== undefined && !tray.some(({ loaded }) => loaded.unit.id === taught))
    throw new InputError({
      file: `--learned ${values.learned}`,
      what: `these limits are of ${taught}, and no unit of the tray is one`,
      mend: 'name limits of one of its profiles',
    });
  const units = tray.map(({ entry, loaded }, index): SessionUnit => {
    const { learned, ...others } = values;
    const unit = unitAsRun(loaded, loaded.unit.id === taught ? values : others);
    if (port) return { tag: entry.tag, unit };
    if (entry.virtual === undefined) {
      throw new InputError({
        file,
        key: `units.${index + 1}.virtual`,
        what: `${entry.tag} names no case for the virtual bench`,
        mend: 'add one, or name the rig with --port PATH',
      });
    }
    const trueMotor = values.motor === undefined ? undefined : loadUnit(entry.profile).motor;
    return { tag: entry.tag, unit, virtualCase: caseOn(unit, entry.virtual), ...known({ trueMotor }) };
  });
  return { units, kind: 'tray', title: file, ...known({ port: port || undefined, rigId: rig || undefined }) };
}

/** The last tray, on the port that it had unless another is named. */
async function resumed({ port, rig }: TrayValues): Promise<SessionRequest> {
  const { resumedTray } = await import('../resumed.js');
  return { ...resumedTray(), ...known({ port: port || undefined, rigId: rig || undefined }) };
}
