// Runs decks on the SPICE engine from npm (eecircuit-engine, ngspice as WebAssembly); one engine per process.

import { Simulation } from 'eecircuit-engine';

export interface SpiceResult {
  timeS: Float64Array;
  /** Column by its lower-case SPICE name, such as v(a) or i(vm). */
  column(name: string): Float64Array;
}

let started: Promise<Simulation> | undefined;

/** A deck whose result no other has. */
const PROBE = 'probe\nV1 probe 0 1\nR1 probe 0 1\n.save v(probe)\n.tran 1m 10m\n.end';
const MOST_STARTS = 5;

/**
 * On a crowded machine the engine was seen to start one run behind: each deck then gives the result of the one before
 * it, the first that of a circuit of its own. Such an engine is left for another one.
 */
async function start(): Promise<Simulation> {
  for (let tries = 0; tries < MOST_STARTS; tries++) {
    const simulation = new Simulation();
    await simulation.start();
    // It leaves and needs a `window`, by which libraries that come after it take Node for a browser: one with nothing in it.
    const { window } = globalThis as { window?: object };
    if (window !== undefined && window !== globalThis) Object.setPrototypeOf(window, globalThis);
    simulation.setNetList(PROBE);
    const { data } = await simulation.runSim();
    if (data.some(({ name }) => name.toLowerCase() === 'v(probe)')) return simulation;
  }
  throw new Error('the SPICE engine gives the results of other decks');
}

async function engine(): Promise<Simulation> {
  started ??= start();
  return started;
}

/** Starts the engine, so that a bench can leave its start-up out. */
export async function startSpice(): Promise<void> {
  await engine();
}

let runs = 0;
const MOST_TRIES = 6;
/** An engine that gave as many results of other decks in a row is left for another one. */
const TRIES_OF_ONE = 2;

/** `deck` with a node of its own beside the circuit, by which its result is known. */
function marked(deck: string): { deck: string; mark: string } {
  runs += 1;
  const mark = `own${runs}`;
  const isSaving = /^\s*\.save\b/im.test(deck);
  const beside = [`V${mark} ${mark} 0 1`, `R${mark} ${mark} 0 1`, ...(isSaving ? [`.save v(${mark})`] : [])];
  const lines = deck.trimEnd().split('\n');
  const end = lines.findLastIndex((line) => /^\s*\.end\s*$/i.test(line));
  if (end < 0) throw new Error('a deck ends with .end');
  lines.splice(end, 0, ...beside);
  return { deck: lines.join('\n'), mark: `v(${mark})` };
}

/** Runs one deck; throws with the engine's own words when it gives no result. */
export async function runSpice(deck: string): Promise<SpiceResult> {
  const own = marked(deck);
  let simulation = await engine();
  let result: Awaited<ReturnType<Simulation['runSim']>> | undefined;
  // An engine that fell behind gives this deck's result one run later.
  for (let tries = 0; tries < MOST_TRIES; tries++) {
    if (tries > 0 && tries % TRIES_OF_ONE === 0) {
      started = undefined;
      simulation = await engine();
    }
    simulation.setNetList(own.deck);
    const given = await simulation.runSim();
    result = given.data.some(({ name }) => name.toLowerCase() === own.mark) ? given : undefined;
    if (result) break;
  }
  const trouble = simulation.getError().filter((line) => /error|singular|too small|aborted/i.test(line));
  if (result?.dataType !== 'real' || result.numPoints < 2 || trouble.length > 0) {
    throw new Error(`SPICE gave ${result?.numPoints ?? 0} points: ${trouble.join(' | ')}`);
  }
  const columns = new Map(
    result.data.map(({ name, values }) => [name.toLowerCase(), Float64Array.from(values)]),
  );
  const column = (name: string) => {
    const found = columns.get(name);
    if (!found) throw new Error(`SPICE has no ${name}, only ${[...columns.keys()].join(', ')}`);
    return found;
  };
  return { timeS: column('time'), column };
}
