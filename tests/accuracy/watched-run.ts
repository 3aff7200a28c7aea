// One run on the virtual rig, driven as `run` drives it, with the truth behind every conversion kept beside the capture.

import { SCAN_LETTERS } from '../../firmware-protocol/index.js';
import { drivePlan } from '../../host/bench/index.js';
import {
  type Capture,
  CHANNEL,
  CHANNELS,
  type Channel,
  letterOf,
  type Position,
} from '../../host/capture/index.js';
import type { CircuitEvent, MotorElement } from '../../host/circuit/index.js';
import type { Plan, ResolvedUnit, VirtualCase } from '../../host/profile/index.js';
import { connectRig } from '../../host/rig/index.js';
import type { BoardOutputs } from '../../host/virtual-rig/board/index.js';
import {
  type Chance,
  chance,
  drawClockErrorPpm,
  openEmulatedRig,
  SimulatedBench,
} from '../../host/virtual-rig/index.js';

/** What really was at the instants of the conversions, in the board's clock as the capture's times are. */
export interface Truth {
  channels: Record<Channel, Series>;
  /** Of the armature itself, at every conversion. */
  armatureA: Series;
  speedRadS: Series;
  /** Commands and contacts, capture time. */
  thrown: { position: Position; atS: number }[];
  events: CircuitEvent[];
  /** Seconds of the capture in one true second. */
  clock: number;
  motor: MotorElement;
  temperatureC: number;
  sourceResistanceOhm: number;
}

export interface Series {
  timeS: Float64Array;
  value: Float64Array;
}

export interface WatchedRun {
  capture: Capture;
  truth: Truth;
  stop: string | undefined;
}

class WatchedBench extends SimulatedBench {
  readonly seen = CHANNELS.map(() => ({ timeS: [] as number[], value: [] as number[] }));
  readonly atS: number[] = [];
  readonly armatureA: number[] = [];
  readonly speedRadS: number[] = [];
  readonly thrown: { position: Position; atS: number }[] = [];
  readonly #channels: (number | undefined)[] = new Array(8).fill(undefined);
  readonly #readers: (() => number)[];
  readonly #armature: () => number;
  readonly #speed: () => number;

  constructor(unit: ResolvedUnit, virtualCase: VirtualCase, dice: Chance) {
    super(unit, virtualCase, dice);
    this.#readers = CHANNELS.map((channel) => this.transient.reader(this.circuit.probes[channel]));
    for (const [place, channel] of CHANNELS.entries()) {
      const { fineLetter } = CHANNEL[channel];
      this.#channels[SCAN_LETTERS[letterOf(channel)].adc] = place;
      if (fineLetter) this.#channels[SCAN_LETTERS[fineLetter].adc] = place;
    }
    this.#armature = this.transient.reader({ kind: 'current', element: this.circuit.motorId });
    this.#speed = this.transient.reader({ kind: 'speed', element: this.circuit.motorId });
  }

  override adcCounts(input: number, atS: number): number {
    const counts = super.adcCounts(input, atS);
    const place = this.#channels[input];
    if (place === undefined) return counts;
    this.seen[place]!.timeS.push(atS);
    this.seen[place]!.value.push(this.#readers[place]!());
    this.atS.push(atS);
    this.armatureA.push(this.#armature());
    this.speedRadS.push(this.#speed());
    return counts;
  }

  override outputsChanged(atS: number, outputs: BoardOutputs): void {
    super.outputsChanged(atS, outputs);
    const position = outputs.throwForward ? 'forward' : outputs.throwReverse ? 'reverse' : 'rest';
    if (position !== (this.thrown.at(-1)?.position ?? 'rest')) this.thrown.push({ position, atS });
  }
}

export async function watchedRun(
  unit: ResolvedUnit,
  virtualCase: VirtualCase,
  seed: number,
  plan: Plan = unit.plan,
  isFine = false,
): Promise<WatchedRun> {
  const dice = chance(seed);
  const clockErrorPpm = drawClockErrorPpm(unit.rig, dice);
  const world = new WatchedBench(unit, virtualCase, dice);
  const virtual = openEmulatedRig({ world, paced: false, clockErrorPpm, rigId: 'virtual' });
  const rig = await connectRig({ port: virtual, clock: virtual.clock, rigProfile: unit.rig });
  try {
    const turned = isFine ? await rig.readFinely?.() : undefined;
    if (turned && 'lack' in turned) throw new Error(turned.lack);
    const { capture, halt } = await drivePlan(rig, plan.steps, {
      trip: unit.rig.trip,
      signal: new AbortController().signal,
      onStep() {},
      onSamples() {},
    });
    return {
      capture,
      truth: truthOf(world, capture, 1 + clockErrorPpm * 1e-6, virtualCase),
      stop: halt?.reason,
    };
  } finally {
    await rig.close();
    virtual.close();
  }
}

function truthOf(bench: WatchedBench, capture: Capture, clock: number, virtualCase: VirtualCase): Truth {
  // The capture says of each throw the first grid point at or behind it: the smallest difference is nearest the start.
  let startS = Number.NEGATIVE_INFINITY;
  let next = 0;
  for (let k = 1; k < capture.timeS.length; k++) {
    if (capture.position[k] === capture.position[k - 1]) continue;
    startS = Math.max(startS, clock * bench.thrown[next]!.atS - capture.timeS[k]!);
    next++;
  }
  const inCapture = (atS: number): number => clock * atS - startS;
  const series = (timeS: readonly number[], value: readonly number[]): Series => ({
    timeS: Float64Array.from(timeS, inCapture),
    value: Float64Array.from(value),
  });
  const motor = bench.circuit.netlist.elements.find(({ id }) => id === bench.circuit.motorId);
  const source = bench.circuit.netlist.elements.find(({ kind }) => kind === 'supply');
  if (motor?.kind !== 'motor' || source?.kind !== 'supply')
    throw new Error('a bench without motor or supply');
  return {
    channels: Object.fromEntries(
      CHANNELS.map((channel, place) => [channel, series(bench.seen[place]!.timeS, bench.seen[place]!.value)]),
    ) as Record<Channel, Series>,
    armatureA: series(bench.atS, bench.armatureA),
    speedRadS: series(bench.atS, bench.speedRadS),
    thrown: bench.thrown.map(({ position, atS }) => ({ position, atS: inCapture(atS) })),
    events: bench.transient.takeEvents().map((event) => ({ ...event, timeS: inCapture(event.timeS) })),
    clock,
    motor,
    temperatureC: virtualCase.temperatureC,
    sourceResistanceOhm: source.sourceResistanceOhm,
  };
}
