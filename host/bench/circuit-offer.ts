// A run that is to tell its circuit by itself: what it reads like is offered to the person, and only what the person
// confirms takes the place of the profile's circuit.

import type { Capture } from '../capture/index.js';
import type { ResolvedUnit } from '../profile/index.js';
import type { BenchEvent } from './events.js';
import type { HandPrompt } from './planned.js';

export interface CircuitOffer {
  /** Circuits that read the same, the likeliest of all. */
  ids: string[];
  likelihood: number;
  /** What it reads like, and what speaks against the profile's circuit. */
  sentence: string;
  /** The unit as the circuit offered; absent where it reads like its profile's. */
  as?: ResolvedUnit;
  /** Where nobody can be asked: how to have it judged as that. */
  howTo: string;
}

export interface OfferTools {
  /** Which circuit a run of `unit` reads like. */
  readCircuit?(unit: ResolvedUnit, capture: Capture, runId: string): CircuitOffer;
  /** Whether the person says yes to the prompt; absent where there is nobody to ask. */
  choose?(prompt: HandPrompt): Promise<boolean>;
}

/** The unit that the capture is to be held against: `unit` itself unless another circuit was confirmed. */
export async function confirmedCircuit(
  unit: ResolvedUnit,
  capture: Capture,
  runId: string,
  tools: OfferTools,
  emit: (event: BenchEvent) => void,
): Promise<ResolvedUnit> {
  const offer = tools.readCircuit?.(unit, capture, runId);
  if (!offer) return unit;
  const { ids, likelihood, sentence, as, howTo } = offer;
  const tell = (judged: ResolvedUnit, words: string): ResolvedUnit => {
    emit({ kind: 'circuit', ids, likelihood, judgedAs: judged.style.id, sentence: words });
    return judged;
  };
  if (!as) return tell(unit, sentence);
  if (!tools.choose) return tell(unit, `${sentence} Judged as the profile's. ${howTo}`);
  const prompt: HandPrompt = {
    code: 'ask',
    position: 'forward',
    sentence: `${sentence} Judge it as ${as.style.id}? y: yes; Enter: no, as the profile says.`,
    ask: 'circuit',
  };
  emit({ kind: 'prompt', prompt });
  const isConfirmed = await tools.choose(prompt);
  emit({ kind: 'prompt', prompt: { ...prompt, code: 'done', sentence: '' } });
  return isConfirmed
    ? tell(as, `Confirmed: judged as ${as.style.id}.`)
    : tell(unit, `Judged as the profile's ${unit.style.id}.`);
}
