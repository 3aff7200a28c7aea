// A judgement as `judge` tells it, of a file or of a recorded run: plain lines, or one JSON object.

import type { Capture } from '../capture/index.js';
import { known } from '../fields/index.js';
import { type Judgement, judgementJson } from '../judge/index.js';
import type { MeasureOptions } from '../measure/index.js';
import type { ResolvedUnit } from '../profile/index.js';
import { circuitsLike, circuitsText } from './circuits-like.js';
import { type CommandIo, jsonText } from './command.js';
import { judgementText } from './judgement-text.js';
import { motorModelJson } from './motor-model.js';

/** What `--circuit` asks: to be told what a capture reads like, or to be judged as another circuit. */
export const circuitAsked = (circuit: string | undefined, motor?: string | undefined) => ({
  asks: circuit === 'auto',
  instead: known({ circuit: circuit === 'auto' ? undefined : circuit, motor }),
});

export interface ToldJudgement {
  judgement: Judgement;
  unit: ResolvedUnit;
  /** Absent where a run left none. */
  capture: Capture | undefined;
  measure?: MeasureOptions;
  /** Which circuits it reads like is wanted too. */
  asks: boolean;
  json: boolean;
}

/** `more` goes behind all in JSON. */
export function tellJudgement(told: ToldJudgement, io: CommandIo, more: object = {}): void {
  const { judgement, unit, capture, measure, asks } = told;
  if (told.json) {
    io.stdout(jsonText(judgementTold(told, more)));
    return;
  }
  const circuits = asks && capture ? circuitsLike(capture, unit, measure) : undefined;
  io.stdout(judgementText(judgement));
  if (circuits) io.stdout(`\n${circuitsText(circuits, unit)}`);
}

/** The object that `--json` tells. */
export function judgementTold(
  { judgement, unit, capture, measure, asks }: ToldJudgement,
  more: object = {},
): object {
  const circuits = asks && capture ? circuitsLike(capture, unit, measure) : undefined;
  const model = capture ? motorModelJson(capture, unit, measure) : {};
  return { ...judgementJson(judgement), model, circuits, ...more };
}
