// Writes a netlist as a SPICE deck, by its own arithmetic: contacts as conductances on a schedule that the test states,
// a motor as R, L and its mechanical analogue (current = torque, voltage = speed, capacitor = inertia).
// Coulomb friction becomes Tc tanh(w / 0.01 rad/s): SPICE has no sticking; the two differ only below that speed.

import type { CircuitElement, Netlist } from '../../../host/circuit/index.js';

/** [time, closed] by contact id; a relay's or switch's contacts are `id.to-node`. */
export type ContactTimes = Readonly<Record<string, readonly (readonly [timeS: number, isClosed: boolean])[]>>;

export interface DeckOptions {
  untilS: number;
  maximumStepS: number;
  relativeTolerance: number;
  save: readonly string[];
  /** Rotor held between instants, by motor id. */
  held?: Readonly<Record<string, readonly (readonly [number, boolean])[]>>;
}

const LEAK_OHM = 1e8;
const COPPER_OHM_MM2_PER_M = 0.01724137931;
/** A contact's conductance rises and falls over this time; the engine's own switch model fails to converge. */
const EDGE_S = 5e-7;

const node = (name: string) => (name === 'ground' ? '0' : name);

function schedule(times: readonly (readonly [number, boolean])[], initially: boolean): string {
  const points: string[] = [`0 ${initially ? 1 : 0}`];
  let state = initially;
  for (const [timeS, next] of times) {
    if (next === state) continue;
    // Opening is complete at its instant and closing begins there, for current follows the low end of the ramp.
    const startS = next ? timeS : timeS - EDGE_S;
    points.push(`${startS} ${state ? 1 : 0}`, `${startS + EDGE_S} ${next ? 1 : 0}`);
    state = next;
  }
  return `PWL(${points.join(' ')})`;
}

function contact(
  name: string,
  a: string,
  b: string,
  ohm: number,
  times: ContactTimes,
  initially: boolean,
): string[] {
  const key = name.replaceAll('.', '_');
  return [
    `V_${key} c_${key} 0 ${schedule(times[name] ?? [], initially)}`,
    `B_${key} ${node(a)} ${node(b)} I = V(${node(a)},${node(b)}) * (${1 / LEAK_OHM} + ${1 / ohm} * V(c_${key}))`,
  ];
}

function wave(value: number | readonly (readonly [number, number])[]): string {
  return typeof value === 'number' ? `${value}` : `PWL(${value.map(([t, v]) => `${t} ${v}`).join(' ')})`;
}

function threshold(
  id: string,
  anode: string,
  cathode: string,
  forwardV: number,
  backwardV: number | undefined,
  ohm: number,
): string[] {
  const v = `V(${node(anode)},${node(cathode)})`;
  const back = backwardV === undefined ? '' : ` - max(-(${v}) - ${backwardV}, 0) / ${ohm}`;
  return [
    `B_${id} ${node(anode)} ${node(cathode)} I = max(${v} - ${forwardV}, 0) / ${ohm}${back} + (${v}) / ${LEAK_OHM}`,
  ];
}

function lines(e: CircuitElement, times: ContactTimes, options: DeckOptions): string[] {
  switch (e.kind) {
    case 'supply':
      return [
        `V_${e.id} ${e.id}_x ${node(e.minus)} ${wave(e.voltageV)}`,
        `R_${e.id} ${e.id}_x ${node(e.plus)} ${e.sourceResistanceOhm}`,
      ];
    case 'resistor':
    case 'fuse':
      return [`R_${e.id} ${node(e.a)} ${node(e.b)} ${e.resistanceOhm}`];
    case 'wire': {
      const ohm = ((COPPER_OHM_MM2_PER_M * e.lengthM) / e.areaMm2!) * (1 + 0.00393 * (e.temperatureC - 20));
      return [`R_${e.id} ${node(e.a)} ${node(e.b)} ${ohm}`];
    }
    case 'inductor':
      return [`L_${e.id} ${node(e.a)} ${node(e.b)} ${e.inductanceH} ic=${e.initialCurrentA ?? 0}`];
    case 'capacitor':
      return [`C_${e.id} ${node(e.a)} ${node(e.b)} ${e.capacitanceF} ic=${e.initialVoltageV ?? 0}`];
    case 'diode':
      return threshold(e.id, e.anode, e.cathode, e.forwardVoltageV, undefined, e.onResistanceOhm);
    case 'clamp':
      return threshold(e.id, e.anode, e.cathode, e.forwardVoltageV, e.clampVoltageV, e.onResistanceOhm);
    case 'contact':
      return contact(e.id, e.a, e.b, e.contactResistanceOhm, times, e.closed);
    case 'switch':
      return e.poles.flatMap((pole) =>
        [...new Set(Object.values(pole.throws))].flatMap((to) =>
          contact(
            `${e.id}.${pole.id}.${to}`,
            pole.common,
            to,
            pole.contactResistanceOhm,
            times,
            pole.throws[e.position] === to,
          ),
        ),
      );
    case 'relay': {
      const t = e.terminals;
      const out = [
        `R_${e.id} ${node(t['86'])} ${e.id}_l ${e.coilResistanceOhm}`,
        `L_${e.id} ${e.id}_l ${node(t['85'])} ${e.coilInductanceH} ic=0`,
        `R_${e.id}_core ${e.id}_l ${node(t['85'])} ${100 * e.coilResistanceOhm}`,
      ];
      if (e.suppression.kind === 'resistor')
        out.push(`R_${e.id}_s ${node(t['86'])} ${node(t['85'])} ${e.suppression.resistanceOhm}`);
      if (t['87']) out.push(...contact(`${e.id}.87`, t['30'], t['87'], e.makeResistanceOhm, times, false));
      if (t['87a']) out.push(...contact(`${e.id}.87a`, t['30'], t['87a'], e.breakResistanceOhm, times, true));
      return out;
    }
    case 'motor': {
      const m = e.id;
      // V_m carries what the terminals carry; with a capacitor across them the armature's share is sensed apart.
      const capacitanceF = e.suppressionCapacitorF ?? 0;
      const armature = capacitanceF > 0 ? `V_${m}_armature` : `V_${m}`;
      const out = [
        `V_${m} ${node(e.a)} ${m}_1 0`,
        ...(capacitanceF > 0
          ? [`C_${m}_s ${m}_1 ${node(e.b)} ${capacitanceF} ic=0`, `${armature} ${m}_1 ${m}_0 0`]
          : []),
        `L_${m} ${m}_${capacitanceF > 0 ? 0 : 1} ${m}_2 ${e.inductanceH} ic=0`,
        `R_${m} ${m}_2 ${m}_3 ${e.resistanceOhm}`,
        `E_${m} ${m}_3 ${m}_4 ${m}_w 0 ${e.backEmfVsPerRad}`,
        `B_${m}_brush ${m}_4 ${node(e.b)} V = ${e.brushDropV} * min(1, max(-1, i(${armature}) / ${e.brushKneeA}))`,
        `F_${m} 0 ${m}_w ${armature} ${e.torqueNmPerA}`,
        `C_${m} ${m}_w 0 ${e.inertiaKgM2} ic=0`,
        `V_${m}_load ${m}_t 0 ${wave(e.loadNm ?? 0)}`,
        `B_${m}_drag ${m}_w 0 I = (${e.coulombNm} + V(${m}_t)) * tanh(V(${m}_w) / 0.01) + ${e.windageNms2 ?? 0} * V(${m}_w) * abs(V(${m}_w)) + ${e.viscousNms} * V(${m}_w)`,
      ];
      if (options.held?.[m]) {
        out.push(
          `V_${m}_held c_${m}_held 0 ${schedule(options.held[m], e.rotorHeld ?? false)}`,
          `S_${m}_held ${m}_w 0 c_${m}_held 0 m_held`,
          '.model m_held sw(vt=0.5 vh=0 ron=1e-3 roff=1e12)',
        );
      }
      return out;
    }
    default:
      throw new Error(`no SPICE form for ${e.kind} ${e.id}`);
  }
}

export function spiceDeck(
  title: string,
  netlist: Netlist,
  times: ContactTimes,
  options: DeckOptions,
): string {
  const { untilS, maximumStepS, relativeTolerance, save } = options;
  return [
    title,
    ...netlist.elements.flatMap((element) => lines(element, times, options)),
    `.options reltol=${relativeTolerance} abstol=1e-9 vntol=1e-7 method=gear itl4=200`,
    `.save ${save.join(' ')}`,
    `.tran ${maximumStepS} ${untilS} 0 ${maximumStepS} uic`,
    '.end',
    '',
  ].join('\n');
}
