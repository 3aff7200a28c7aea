// A circuit on the bench as a person with ears and a hand meter finds it: thrown, unplugged, or with its power off. The
// solver tells what stands and flows; nothing here knows a fault.

import {
  type CircuitElement,
  type ControlSetting,
  createTransient,
  type FeedState,
  GROUND,
  type Netlist,
  type SenseClip,
  type UnitCircuit,
  withClipAt,
} from '../circuit/index.js';
import { type CircuitsInPieces, driven } from '../diagnose/index.js';
import { lampOhm, plainValues, systemOf } from '../profile/index.js';
import { nodeAt, type Place, placesOf } from './place.js';

export type Way = 'forward' | 'reverse';
export const WAYS = ['forward', 'reverse'] as const;

/** Long enough for relays and a run-up, too short for a motor to reach the end of its travel; read at the end. */
const FEED_ON_S = 0.05;
const REST_S = 0.2;
export const THROW_S = 0.4;
/** A meter's display settles over the last part: what buzzes is read as its mean. */
const SETTLED_S = 0.08;
const READ_EVERY_S = 0.005;
interface Times {
  feedOnS: number;
  restS: number;
  throwS: number;
  settledS: number;
}
const THROWN_AT: Times = { feedOnS: FEED_ON_S, restS: REST_S, throwS: THROW_S, settledS: SETTLED_S };
/** Relays alone settle sooner than a motor. */
const SETTLED_AT: Times = { feedOnS: 0.005, restS: 0.04, throwS: 0.08, settledS: 0.03 };
const SOLVER = { relativeTolerance: 1e-3, keepsEnergy: false };
/** Ohm and diode ranges of a hand meter: some 1 mA, and no more than 2 V (common data sheet figures). */
const METER_V = 2;
const METER_OHM = 2000;
const METER_S = 0.3;
/** Its longest range; beyond it, open (common data sheet figure). */
const MOST_OHM = 2e6;
/** Of the tip of a hand meter to ground; so high that one at every place at once changes nothing but what floats. */
const TIP_OHM = 1e7;
/** A volt of the system: below this nobody calls a lamp of it bright; above half of it, it glows (common practice, no source). */
const BRIGHT = 8 / 12;

/** What a throw shows. */
export interface Thrown {
  /** By the place's id, to ground; a tip on nothing reads 0. */
  volts: ReadonlyMap<string, number>;
  /** Relays whose armature moved. */
  clicks: ReadonlySet<string>;
  motorCurrentA: number;
  feedCurrentA: number;
}

export class BenchOf {
  readonly places: readonly Place[];
  /** Of the rig's supply, V: the test lamp is one for it. */
  readonly systemV: number;
  readonly #thrown = new Map<string, Thrown>();
  readonly #read = new Map<string, number>();

  /** @param feed what the throws are made with. */
  constructor(
    readonly circuits: CircuitsInPieces,
    readonly feed: Exclude<FeedState, 'off'>,
  ) {
    this.places = placesOf(circuits.unit.style);
    this.systemV = systemOf(plainValues(circuits.unit.rig).supply.voltageV);
  }

  thrown(way: Way): Thrown {
    return this.#once(this.#thrown, way, () => this.#throw(this.circuits.whole(), way, this.feed));
  }

  /** The bodies of two relays in each other's place. */
  exchanged(one: string, two: string, way: Way): Thrown {
    return this.#once(this.#thrown, `exchanged ${one} ${two} ${way}`, () =>
      this.#throw(this.circuits.exchanged(one, two), way, this.feed),
    );
  }

  /** The motor's plug pulled, through the limited feed. */
  unplugged(way: Way): Thrown {
    return this.#once(this.#thrown, `unplugged ${way}`, () =>
      this.#throw(this.circuits.unplugged(), way, 'limited'),
    );
  }

  /** Volts of every place with the motor's plug pulled and nothing that starts or stops, through the limited feed. */
  settledV(settings: readonly ControlSetting[]): ReadonlyMap<string, number> {
    const key = `settled ${JSON.stringify(settings)}`;
    return this.#once(this.#thrown, key, () =>
      this.#throw(this.circuits.unplugged(), settings, 'limited', SETTLED_AT),
    ).volts;
  }

  /** What the rig reads with a sense clip on the place. */
  clippedV(clip: SenseClip, place: Place, way: Way): number {
    return this.#once(this.#read, `clip ${clip} ${place.id} ${way}`, () => {
      const whole = this.circuits.whole();
      const node = nodeAt(whole.netlist, place);
      if (node === undefined) return 0;
      return this.#throw(withClipAt(whole, clip, node), way, this.feed).volts.get(place.id) ?? 0;
    });
  }

  /** Whether a test lamp from the place to ground is bright. */
  isLampBright(place: Place, way: Way): boolean {
    const loadedV = this.#once(this.#read, `lamp ${place.id} ${way}`, () => {
      const { netlist, ...whole } = this.circuits.whole();
      const node = nodeAt(netlist, place);
      if (node === undefined) return 0;
      const lamp = {
        kind: 'resistor' as const,
        id: 'test lamp',
        a: node,
        b: GROUND,
        resistanceOhm: lampOhm(this.systemV),
      };
      const lit = { ...whole, netlist: { elements: [...netlist.elements, lamp] } };
      return this.#throw(lit, way, this.feed).volts.get(place.id) ?? 0;
    });
    return loadedV >= BRIGHT * this.systemV;
  }

  /** Between two places of the harness, outputs off and the motor unplugged; Infinity for open. */
  harnessOhm(from: Place, to: Place | 'ground'): number {
    return this.#once(this.#read, `harness ${from.id} ${to === 'ground' ? to : to.id}`, () => {
      const { netlist } = this.circuits.unplugged();
      const dead = { elements: netlist.elements.filter(({ kind }) => kind !== 'supply') };
      const [a, b] = [nodeAt(dead, from), to === 'ground' ? to : nodeAt(dead, to)];
      return a === undefined || b === undefined ? Number.POSITIVE_INFINITY : meteredOhm(dead, a, b);
    });
  }

  /** Between two terminals of a relay out of its socket; Infinity for open. */
  relayOhm(relayId: string, one: string, two: string): number {
    return this.#once(this.#read, `relay ${relayId} ${one} ${two}`, () => {
      const { netlist, terminals } = this.circuits.relayAlone(relayId);
      const [a, b] = [terminals[one], terminals[two]];
      return a === undefined || b === undefined ? Number.POSITIVE_INFINITY : meteredOhm(netlist, a, b);
    });
  }

  /** In the diode range, plus on `one`; Infinity above 2 V. */
  relayDiodeV(relayId: string, one: string, two: string): number {
    return this.#once(this.#read, `diode ${relayId} ${one} ${two}`, () => {
      const { netlist, terminals } = this.circuits.relayAlone(relayId);
      const [a, b] = [terminals[one], terminals[two]];
      if (a === undefined || b === undefined) return Number.POSITIVE_INFINITY;
      const { voltageV } = metered(netlist, a, b);
      return voltageV > 0.98 * METER_V ? Number.POSITIVE_INFINITY : voltageV;
    });
  }

  /** Of the motor on its plug, from lead to lead or from a lead to its case. */
  motorOhm(from: 'a' | 'b', to: 'lead' | 'case'): number {
    return this.#once(this.#read, `motor ${from} ${to}`, () => {
      const { netlist, a, b } = this.circuits.motorAlone();
      const [plus, minus] = from === 'a' ? [a, b] : [b, a];
      return meteredOhm(netlist, plus, to === 'case' ? 'ground' : minus);
    });
  }

  #once<T>(store: Map<string, T>, key: string, read: () => T): T {
    const before = store.get(key);
    if (before !== undefined) return before;
    const value = read();
    store.set(key, value);
    return value;
  }

  #throw(
    { netlist: bare, controls, probes }: UnitCircuit,
    way: Way | readonly ControlSetting[],
    feed: FeedState,
    { feedOnS, restS, throwS, settledS }: Times = THROWN_AT,
  ): Thrown {
    const nodes = this.places.map((place) => ({ id: place.id, node: nodeAt(bare, place) }));
    const tips = new Set(nodes.flatMap(({ node }) => node ?? []));
    tips.delete(GROUND);
    const netlist = { elements: [...bare.elements, ...[...tips].map(tipAt)] };
    const transient = createTransient(netlist, SOLVER);
    transient.control(0, [...controls.feed.off, ...controls.position.rest]);
    transient.control(feedOnS, controls.feed[feed]);
    transient.control(restS, typeof way === 'string' ? controls.position[way] : way);
    transient.advance(restS);
    transient.takeEvents();
    const readers = {
      nodes: nodes.map(({ id, node }) => ({
        id,
        read: node === undefined ? () => 0 : transient.reader({ kind: 'voltage', plus: node }),
      })),
      motorA: transient.reader(probes.motorCurrentA),
      feedA: transient.reader(probes.feedCurrentA),
    };
    const count = Math.round(settledS / READ_EVERY_S);
    const sums = { volts: new Map<string, number>(), motorA: 0, feedA: 0 };
    for (let k = 1; k <= count; k++) {
      transient.advance(restS + throwS - settledS + k * READ_EVERY_S);
      for (const { id, read } of readers.nodes) sums.volts.set(id, (sums.volts.get(id) ?? 0) + read());
      sums.motorA += readers.motorA();
      sums.feedA += readers.feedA();
    }
    const relays = new Set(netlist.elements.flatMap((each) => (each.kind === 'relay' ? [each.id] : [])));
    return {
      volts: new Map([...sums.volts].map(([id, sum]) => [id, sum / count])),
      clicks: new Set(
        transient
          .takeEvents()
          .filter(
            ({ element, what }) => relays.has(element) && (what === 'pulled-in' || what === 'dropped-out'),
          )
          .map(({ element }) => element),
      ),
      motorCurrentA: sums.motorA / count,
      feedCurrentA: sums.feedA / count,
    };
  }
}

const tipAt = (node: string): CircuitElement => {
  return { kind: 'resistor', id: `tip ${node}`, a: node, b: GROUND, resistanceOhm: TIP_OHM };
};

const metered = (netlist: Netlist, plus: string, minus: string) =>
  driven(netlist, plus, minus, { voltageV: METER_V, ohm: METER_OHM, untilS: METER_S });

function meteredOhm(netlist: Netlist, plus: string, minus: string): number {
  const { voltageV, currentA } = metered(netlist, plus, minus);
  const ohm = voltageV / currentA;
  return currentA > 0 && ohm < MOST_OHM ? Math.max(0, ohm) : Number.POSITIVE_INFINITY;
}
