// `throwbench run`: one unit on the real rig or on the virtual bench, judged and recorded.

import { known } from '../../fields/index.js';
import type { OpenBench, SessionRequest, SessionUnit } from '../bench-driver.js';
import { ASK_WAY_OPTION, BENCH_OPTIONS, benchNamed, LINES_OPTIONS, SHORT_OPTION } from '../bench-named.js';
import { AMBIENT_OPTION, LEARNED_OPTION } from '../capture-options.js';
import { type Command, type CommandIo, numberTold, refuseMore, UsageError } from '../command.js';
import { declared } from '../declared.js';
import { refuseSteering, refuseTag } from '../refused-words.js';

const SEED = { least: 0, most: 999_999_999_999_999, example: 7, what: 'whole number' } as const;

/** The bench is handed in, so that tests can put a scripted one there. */
export function makeRunCommand(openBench: OpenBench): Command {
  return declared(
    {
      calls: [
        'run --profile P --unit TAG (--port PATH [--rig ID] | --virtual CASE) [--no-ramp] [--short] [--ask-way] [--ambient-c C] [--circuit auto|ID] [--motor ID] [--plan ID] [--json] [--plain]',
        'run --profile P --virtual random [--seed N] [--json] [--plain]',
      ],
      options: {
        profile: {
          ...BENCH_OPTIONS.profile,
          words: 'what the unit should be: an id under profiles/units, or a YAML file',
        },
        unit: {
          type: 'string',
          value: 'TAG',
          words: 'the tag on the unit, under which it is recorded',
          offer: 'tag',
        },
        port: BENCH_OPTIONS.port,
        rig: {
          ...BENCH_OPTIONS.rig,
          words: 'refuse any other rig on that port (throwbench rig tells and sets the id)',
        },
        virtual: {
          ...BENCH_OPTIONS.virtual,
          words: `the virtual bench, with this case on it: an id under profiles/demo/cases, or a YAML file. random is
            training: a fault of the profile, or none, is hidden on the virtual bench; measure, then name it. Nothing is
            recorded. Exit status then: 0 named rightly, 1 wrongly, 3 not named`,
          also: ['random'],
        },
        seed: { type: 'string', value: 'N', words: 'the same hidden fault again' },
        short: SHORT_OPTION,
        'ask-way': ASK_WAY_OPTION,
        'no-ramp': {
          type: 'boolean',
          words: 'a relay alone without the turning of its supply: pull-in and drop-out are then not tested',
        },
        'ambient-c': AMBIENT_OPTION,
        learned: LEARNED_OPTION,
        circuit: {
          type: 'string',
          value: 'auto|ID',
          words: `auto: tell from rest and release which circuit the run reads like; where that is another than the
            profile's, ask whether it is to be judged as that (in a pipe: say so, and judge it as the profile's). An id
            under profiles/circuits: run and judge it as this circuit in place of the profile's`,
          offer: 'circuit',
          also: ['auto'],
        },
        motor: {
          type: 'string',
          value: 'ID',
          words: `this motor, an id under profiles/motors, in place of the profile's; unknown: one without a sheet, which is
            graded by what can be told without it`,
          offer: 'motor',
        },
        plan: {
          type: 'string',
          value: 'ID',
          words: `this plan, an id under profiles/plans, in place of the profile's; hold-for-protector holds the rotor of a
            motor alone until its protector opens, a minute at most`,
          offer: 'plan',
        },
        ...LINES_OPTIONS,
      },
      examples: [
        'run --profile entry-step-relays --unit V-0107 --port /dev/ttyUSB0',
        'run --profile entry-step-relays --unit V-0107 --virtual coil-open',
        'run --profile my-profiles/units/hatch-switch.yaml --unit TRY-1 --virtual good',
      ],
      exit: '0 pass, 1 fail, 2 usage or bad input, 3 cannot tell or rig trouble',
    },
    async ({ values, positionals }, io) => {
      refuseMore(positionals);
      const { profile, unit: tag, port, virtual, rig } = values;
      if (!profile) throw new UsageError('--profile P is missing: what should the unit be?');
      if (values.circuit !== undefined && virtual === 'random')
        throw new UsageError('--circuit is not for training');
      for (const option of ['motor', 'plan', 'ask-way'] as const)
        if (values[option] !== undefined && virtual === 'random')
          throw new UsageError(`--${option} is not for training`);
      if (virtual === 'random') return train({ ...values, profile }, io);
      if (values.seed !== undefined) throw new UsageError('--seed goes with --virtual random');
      if (!tag) throw new UsageError('--unit TAG is missing: which unit is it?');
      refuseTag(tag);
      benchNamed(values);
      if (rig && !port) throw new UsageError('--rig goes with --port');
      // Only now, so that a wrong call is answered at once.
      await refuseSteering({ unit: tag, rig });
      const { loadAsRun, unitAsRun } = await import('../unit-as-run.js');
      const { loadUnit } = await import('../../profile/index.js');
      const { readSettings } = await import('../settings.js');
      const settings = readSettings();
      const asks = values.circuit === 'auto';
      const { motor, plan } = values;
      const instead = known({ circuit: asks ? undefined : values.circuit, motor, plan });
      const asRun = unitAsRun(loadAsRun(profile, values.short ?? settings.short, instead), values);
      const { caseOn } = virtual ? await import('../case-on.js') : {};
      const unit: SessionUnit = {
        tag,
        unit: asRun,
        ...(virtual && caseOn ? { virtualCase: caseOn(asRun, virtual) } : {}),
        ...(virtual && motor !== undefined ? { trueMotor: loadUnit(profile).motor } : {}),
      };
      const { circuitOffer } = asks ? await import('../circuits-like.js') : {};
      const readCircuit: SessionRequest['readCircuit'] =
        circuitOffer && ((judged, capture, runId) => circuitOffer(capture, judged, profile, runId));
      const { sitAtBench } = await import('../bench-session.js');
      return sitAtBench(
        {
          units: [unit],
          kind: 'run',
          title: tag,
          settings: { ...settings, ...known({ askWay: values['ask-way'] }) },
          ...known({ port: port || undefined, rigId: rig || undefined, readCircuit }),
        },
        values,
        io,
        openBench,
      );
    },
  );
}

interface TrainingValues {
  profile: string;
  unit?: string;
  port?: string;
  seed?: string;
  json: boolean;
  plain: boolean;
}

async function train(
  { profile, unit: tag, port, seed, json, plain }: TrainingValues,
  io: CommandIo,
): Promise<number> {
  if (port) throw new UsageError('--port and --virtual exclude each other: name one bench');
  if (tag)
    throw new UsageError(
      '--unit tags a unit of the record, and a training run is not recorded: leave it out',
    );
  const given = numberTold('seed', seed, SEED);
  const { loadUnit } = await import('../../profile/index.js');
  const { trainAtBench } = await import('../training.js');
  return trainAtBench({ unit: loadUnit(profile), seed: given, json, plain }, io);
}

export const command: Command = makeRunCommand(async (...request) =>
  (await import('../open-bench.js')).openBench(...request),
);
