// What a person is shown, swept for names that are the program's own: of channels, quantities, stretches, faults and
// checks. What a person may type (options, ids of profiles and runs, columns asked for) is not swept.

import { mkdtempSync, readFileSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterAll, describe, expect, it } from 'vitest';
import { STOP_TEXTS } from '../../host/bench/index.js';
import { type Capture, CHANNEL_COLUMNS, CHANNELS, type Channel } from '../../host/capture/index.js';
import { buildUnitCircuit, faultsOfUnit, nominalInput, simulatePlan } from '../../host/circuit/index.js';
import { judgementText } from '../../host/commands/judgement-text.js';
import { recordText } from '../../host/commands/log-text.js';
import { measuredLines } from '../../host/commands/measured-text.js';
import { plainLines } from '../../host/commands/plain-lines.js';
import { command as simulate } from '../../host/commands/verbs/simulate.js';
import { CircuitsInPieces, LibraryWork, probeMenu } from '../../host/diagnose/index.js';
import { type CauseLibrary, type Judgement, judge } from '../../host/judge/index.js';
import { RelayLibraryWork } from '../../host/judge/relay/index.js';
import { createLinkCounters } from '../../host/link/link-counters.js';
import { fitMotor, measure } from '../../host/measure/index.js';
import { listProfiles, loadUnit, type ResolvedUnit } from '../../host/profile/index.js';
import { judgementRecord, type RunRecord } from '../../host/records/index.js';
import { BenchController, EMPTY_VIEW, reduceBench } from '../../host/screens/index.js';
import { call } from '../commands/call.js';
import { expectationOf } from '../judge/known-expectations.js';
import { RIG } from '../records/example-run.js';
import { frameOf, UNICODE } from '../screens/fake-terminal.js';
import { StepClock } from '../screens/step-clock.js';

const UNITS = listProfiles('unit')
  .filter(({ fault }) => fault === undefined)
  .map(({ id }) => loadUnit(id));
const FAULT_IDS = UNITS.flatMap((unit) => faultsOfUnit(unit).map(({ id }) => id));

/** Symbols of units have a capital inside too. */
const SYMBOL = /^(m|k)(A|V|Hz|J|W|Ω)$/;

/** Names of the program's own in `text`, each with what stands about it. */
function namesIn(text: string): string[] {
  const words = text.match(/[\p{L}\d][\p{L}\d_-]*/gu) ?? [];
  const known = new Set<string>([...CHANNELS, ...CHANNEL_COLUMNS, ...FAULT_IDS, ...CHECK_IDS, ...STOPS]);
  return words.filter(
    (word) =>
      (/\p{Ll}\d*\p{Lu}/u.test(word) && !SYMBOL.test(word)) ||
      /(rest|forward|reverse|limited|zero)\d/i.test(word) ||
      /\p{L}_\p{L}/u.test(word) ||
      known.has(word),
  );
}

/** Kebab-case names of checks come to be known as they are made; those that are words of the trade are none. */
const CHECK_IDS = new Set<string>();
const TRADE_WORDS = ['over-current', 'pull-in', 'drop-out'];
const STOPS = Object.keys(STOP_TEXTS).filter(
  (reason) => !TRADE_WORDS.includes(reason) && reason !== 'watchdog',
);

function expectSpoken(where: string, text: string): void {
  expect(namesIn(text), `${where}: ${text}`).toEqual([]);
}

/** A sixth of a profile's causes: enough to have findings told. */
function someCauses(unit: ResolvedUnit): () => CauseLibrary {
  const work = unit.unit.subject === 'relay' ? new RelayLibraryWork(unit) : new LibraryWork(unit);
  const some = work.ways.filter((_, i) => i % 6 === 0);
  work.ways.splice(0, work.ways.length, ...some);
  const library = work.finish();
  return () => library;
}

const without = (capture: Capture, ...channels: Channel[]): Capture => {
  const left = Object.entries(capture.channels).filter(
    ([channel]) => !channels.some((one) => one === channel),
  );
  return { ...capture, channels: Object.fromEntries(left) };
};

/** The fewest that limits can be made of. */
const DRAWS = 8;

/** What instruments leave out. */
const LACKING: readonly (readonly Channel[])[] = [
  [],
  ['motorCurrentA'],
  ['leadBVoltageV'],
  ['feedCurrentA', 'leadAVoltageV', 'leadBVoltageV', 'supplyVoltageV'],
  ['coilCurrentA', 'supplyVoltageV'],
];

function told(unit: ResolvedUnit, judgement: Judgement): string {
  for (const { id } of judgement.checks) if (id.includes('-') && !TRADE_WORDS.includes(id)) CHECK_IDS.add(id);
  const record: RunRecord = {
    runId: '2024-06-11-0001',
    tag: 'V-0107',
    profileId: unit.unit.id,
    profileTitle: unit.unit.title,
    startedAt: '2024-06-11T08:30:00.000Z',
    status: 'finished',
    unit,
    rig: RIG,
    toolVersion: '1.0.0',
    judgement: judgementRecord(judgement),
    stop: { reason: 'host-silence', atS: 1.25 },
    counters: COUNTERS,
    samples: 5000,
  };
  const event = {
    kind: 'judged',
    index: 0,
    tag: 'V-0107',
    judgement,
    runId: record.runId,
    durationS: 4,
  } as const;
  const controller = new BenchController({
    stop: () => undefined,
    clock: new StepClock(),
    startsByItself: true,
  });
  const { title } = unit.unit;
  controller.take({ kind: 'tray-started', units: [{ tag: event.tag, profileTitle: title }] });
  controller.take(event);
  const state = { ...controller.state, ended: true, page: 'unit' as const };
  return [
    judgementText(judgement),
    recordText(record),
    ...measuredLines(judgement.measured),
    ...plainLines(event, reduceBench(controller.state.bench, event), UNICODE),
    frameOf({ state, traces: controller.traces, theme: UNICODE, columns: 220, rows: 160 }),
  ].join('\n');
}

const COUNTERS = {
  ...createLinkCounters(),
  'board-framesSent': 1,
  'board-framesLost': 0,
  'board-slotsLate': 0,
  'board-bytesLost': 0,
  'board-linesRefused': 0,
};

describe('no name of the program’s own is shown', () => {
  it('and the sweep finds one where there is one', () => {
    expect(namesIn('leadBVoltageV stands at rest3, rest2feed, 120 mV at lead_b_V, 10 kΩ, V-0107')).toEqual([
      'leadBVoltageV',
      'rest3',
      'rest2feed',
      'lead_b_V',
    ]);
    expect(namesIn('It is k1-coil-open.')).toEqual(['k1-coil-open']);
  });

  it.each(['entry-step-relays', 'roof-vent-switch', 'mini-changeover-alone'])(
    'of %s with faults, judged, recorded and on its page, whatever was not sampled',
    (id) => {
      const unit = loadUnit(id);
      const expectation = expectationOf(unit, DRAWS);
      const library = someCauses(unit);
      const faults = faultsOfUnit(unit).filter((_, i, all) => i % Math.ceil(all.length / 5) === 0);
      const texts = [undefined, ...faults].flatMap((fault, i) => {
        const whole = simulatePlan({ ...nominalInput(unit), faults: fault ? [fault] : [] }, unit.plan, {
          sampleRateHz: 1000,
        });
        const capture = without(whole, ...(LACKING[i % LACKING.length] ?? []));
        const judgement = judge({
          unit,
          capture,
          expectation,
          library,
          stop: i === 3 ? 'host-silence' : undefined,
        });
        const { notes } = measure(capture, { rig: unit.rig });
        const model =
          i === 0 && unit.unit.subject === undefined ? fitMotor(capture, { rig: unit.rig }) : undefined;
        return [
          told(unit, judgement),
          ...notes,
          ...(model ? [...model.notes, ...measuredLines({}, model.model)] : []),
        ];
      });
      for (const text of texts) expectSpoken(id, text);
    },
  );

  it('in any fault of any unit, nor in what is measured to find it', () => {
    for (const unit of UNITS) {
      for (const { sentence, cause, nextProbe } of faultsOfUnit(unit))
        expectSpoken(unit.unit.id, `${sentence} ${cause} ${nextProbe}`);
      if (unit.unit.subject === 'relay') continue;
      for (const { question } of probeMenu(unit)) expectSpoken(unit.unit.id, question);
    }
  });

  it('in the answers of the menu of measurements', () => {
    const unit = loadUnit('entry-step-relays');
    const circuits = new CircuitsInPieces(unit, [], (faults) =>
      buildUnitCircuit({ ...nominalInput(unit), faults }),
    );
    for (const { ask } of probeMenu(unit)) {
      const { readings, note = '' } = ask(circuits);
      expectSpoken('menu', `${readings.map(({ label }) => label).join(' ')} ${note}`);
    }
  });

  it('when a run is stopped, for whatever reason', () => {
    for (const [reason, { advice }] of Object.entries(STOP_TEXTS)) {
      const lines = plainLines({ kind: 'stopped', reason, advice }, EMPTY_VIEW, UNICODE);
      expectSpoken(reason, lines.join('\n'));
    }
  });

  const folder = mkdtempSync(join(tmpdir(), 'throwbench-spoken-'));
  afterAll(() => rmSync(folder, { recursive: true }));

  it('in what simulate prints and draws of a fault', async () => {
    const args = ['--profile', 'entry-step-relays', '--fault', 'k2-coil-open', '--svg', 'shown.svg'];
    const { code, stdout, stderr } = await call(simulate, args, folder);
    expect(code).toBe(0);
    expectSpoken('simulate', stdout + stderr);
    const drawn = readFileSync(join(folder, 'shown.svg'), 'utf8');
    for (const [, text = ''] of drawn.matchAll(/<(?:text|title)[^>]*>([^<]*)</g))
      expectSpoken('picture', text);
  });
});
