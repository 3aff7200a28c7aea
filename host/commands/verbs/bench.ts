// `throwbench bench`, which is also what `throwbench` alone does at a terminal: the bench, opened, without a list.

import { known } from '../../fields/index.js';
import { ASK_WAY_OPTION, PORT_OPTION, RIG_OPTION, SHORT_OPTION } from '../bench-named.js';
import { refuseMore, screenOf, UsageError } from '../command.js';
import { declared } from '../declared.js';

export const command = declared(
  {
    calls: ['bench [--port PATH [--rig ID] | --virtual] [--short] [--ask-way]'],
    options: {
      port: PORT_OPTION,
      rig: RIG_OPTION,
      virtual: { type: 'boolean', default: false, words: 'the virtual bench' },
      short: SHORT_OPTION,
      'ask-way': ASK_WAY_OPTION,
    },
    notes: `Without these the port of the settings is opened, or the one port whose rig is known; else the ports are listed
      and asked for. A tag is typed or scanned; its profile is known by how it begins (throwbench settings), by its last
      run, or asked for once. throwbench tray --resume goes on with a bench that was left.`,
    examples: ['bench --virtual', 'bench --port /dev/ttyUSB0 --short'],
    exit: '0 all pass, 1 one or more fail, 2 usage or bad input, 3 cannot tell or rig trouble',
  },
  async ({ values, positionals }, io) => {
    refuseMore(positionals);
    const { port, rig, virtual, short, 'ask-way': askWay } = values;
    if (port && virtual) throw new UsageError('--port and --virtual exclude each other: name one bench');
    if (rig && !port) throw new UsageError('--rig goes with --port');
    const screen = screenOf(io, { json: false, plain: false });
    if (!screen) throw new UsageError('the bench needs a terminal; in a pipe call run or tray');
    const { sitAtOpenBench } = await import('../open-flow/index.js');
    const named = {
      isVirtual: virtual,
      ...known({ port: port || undefined, rig: rig || undefined, short, askWay }),
    };
    return sitAtOpenBench(named, screen, io, async (...asked) =>
      (await import('../open-bench.js')).openBench(...asked),
    );
  },
);
