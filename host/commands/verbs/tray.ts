// `throwbench tray`: a list of units one after the other; the demo tray is one such list.

import { known } from '../../fields/index.js';
import type { SessionUnit } from '../bench-session.js';
import { type Command, parseCommandArgs, refuseMore, UsageError } from '../command.js';

export const command: Command = {
  usage: `usage: throwbench tray FILE [--port PATH [--rig ID]] [--ambient-c C] [--motor ID] [--json] [--plain]

  FILE           the list of units: a YAML file, or an id under profiles/demo
  --port PATH    the rig on this serial port; without it the virtual bench, with the case that each unit names
  --rig ID       refuse any other rig on that port
  --ambient-c C  ambient of the bench by a thermometer: narrows the limits, which else allow an unheated workshop
  --motor ID     this motor in place of that of every profile; unknown: one without a sheet, which is graded
  --json         one JSON object a line instead of the screen
  --plain        plain lines instead of the screen

examples:
  throwbench tray tray
  throwbench tray today.yaml --port /dev/ttyUSB0 --ambient-c 8

exit status: 0 all pass, 1 one or more fail, 2 usage or bad input, 3 cannot tell or rig trouble
`,
  async run(args, io) {
    const { values, positionals } = parseCommandArgs(args, {
      port: { type: 'string' },
      rig: { type: 'string' },
      'ambient-c': { type: 'string' },
      motor: { type: 'string' },
      json: { type: 'boolean', default: false },
      plain: { type: 'boolean', default: false },
    });
    const [file, ...more] = positionals;
    if (file === undefined) throw new UsageError('FILE is missing: which tray?');
    refuseMore(more);
    // Only now, so that a wrong call is answered at once.
    const { unitAsRun } = await import('../unit-as-run.js');
    const { InputError } = await import('../../input/index.js');
    const { loadTray, loadUnit } = await import('../../profile/index.js');
    const { caseOn } = await import('../case-on.js');
    const { port, rig } = values;
    if (rig && !port) throw new UsageError('--rig goes with --port');
    const units = loadTray(file).units.map((entry, index): SessionUnit => {
      const loaded = loadUnit(entry.profile, undefined, known({ motor: values.motor }));
      const unit = unitAsRun(loaded, values);
      if (port) return { tag: entry.tag, unit };
      if (entry.virtual === undefined) {
        throw new InputError({
          file,
          key: `units.${index + 1}.virtual`,
          what: `${entry.tag} names no case for the virtual bench`,
          mend: 'add one, or name the rig with --port PATH',
        });
      }
      const virtualCase = caseOn(unit, entry.virtual);
      const trueMotor = values.motor === undefined ? undefined : loadUnit(entry.profile).motor;
      return { tag: entry.tag, unit, virtualCase, ...known({ trueMotor }) };
    });
    const { sitAtBench } = await import('../bench-session.js');
    return sitAtBench(
      { units, ...(port ? { port } : {}), ...(rig ? { rigId: rig } : {}) },
      values,
      io,
      async (...request) => (await import('../open-bench.js')).openBench(...request),
    );
  },
};
