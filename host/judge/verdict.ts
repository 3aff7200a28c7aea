// The words a judged run is told in. JSON of `judge --json` follows these shapes: add only.
// Outcomes follow ILAC-G8:09/2019, 4.2.3 (guard band equal to the expanded uncertainty).

import type { Channel } from '../capture/index.js';
import type { MotorMoves } from '../circuit/index.js';
import type { RankedFinding } from '../diagnose/index.js';
import type { Measured, RunStretch } from '../measure/index.js';
import type { MotorGrade } from './grade.js';
import type { WayTold } from './way.js';
import type { Shown } from './what-it-does.js';

export type { RankedFinding as Finding } from '../diagnose/index.js';
export type { Measured, Quantity } from '../measure/index.js';

export type Outcome = 'pass' | 'conditional-pass' | 'conditional-fail' | 'fail' | 'not-tested';

/** What a check speaks of; `unit` is harness and motor together. */
export type Subject = 'rig' | 'supply' | 'harness' | 'motor' | 'relay' | 'hand' | 'unit';

/** What one kind of check is; stands beside the code that makes it, and travels with it. */
export interface CheckKind {
  /** kebab-case, permanent; the check of one throw carries the throw behind it. */
  id: string;
  of: Subject;
  /** Which of several failing checks tells most: a short before lead states, those before currents, drops last. Lower first. */
  rank: number;
  /** Asked before anything is thrown. */
  isAtRest?: true;
  /** Only a turning motor shows it. */
  isOfTurning?: true;
  /** Takes its throw, or every throw, for a start from standstill. */
  isOfStart?: true;
  /** Failed, its throw does not give the motor its voltage as it should. */
  isOfDrive?: true;
  /** Whoever throws the switch to the other side fails it. */
  isOfWay?: true;
  /** A supply that moved in or between the throws makes it fail. */
  goesWithSupply?: true;
  /** Holds one way against the other. */
  comparesWays?: true;
  /** What of the usual motor its limits are, in words: with generic numbers nobody fails for an absolute value of it. */
  usual?: string;
  /** What a reading above those limits, and one below them, says of the motor's own numbers. */
  above?: MotorMoves;
  below?: MotorMoves;
  /** A reading of nothing is a dead motor, whatever motor it is. */
  isDeadAtZero?: true;
  /** What failing it says of them, where it has no limits. */
  shows?: MotorMoves;
  /** What it found kept the full feed off: told beside every cause. */
  keepsFeedOff?: true;
  /** Speaks of a course, or of how it ends: among the readings that causes are weighed by it is little or nothing. */
  isOfCourse?: true;
  /** Takes all readings of the run together. */
  isOfAllReadings?: true;
  /** No misread channel makes it: a dead lead, a lead the wrong way round, a short. */
  isGross?: true;
  /** What it is read from; all channels where it does not say. */
  reads?: readonly Channel[];
  /** Told although nothing of it was tried. */
  isAlwaysTold?: true;
}

/** A drop as a resistance, with its limit and the current that flowed. */
export interface DropInOhms {
  valueOhm: number;
  expandedUncertaintyOhm: number;
  upperOhm: number;
  atCurrentA: number;
}

export interface Check {
  /** kebab-case, permanent. */
  id: string;
  kind: CheckKind;
  /** What it turned out to speak of. */
  of: Subject;
  /** The throw that it asks about; absent where it is of the run as a whole. */
  throw?: RunStretch;
  /** One sentence an electrician would say, with the reading and its limit. */
  sentence: string;
  value?: number;
  unit?: string;
  expandedUncertainty?: number;
  lower?: number;
  upper?: number;
  /** Of a drop: the same reading and limit as a resistance, at the current that flowed. */
  inOhms?: DropInOhms;
  /** The same behind the inrush peak; it is judged by whichever of both is known better. */
  inOhmsAtStart?: DropInOhms;
  outcome: Outcome;
  /** Outside the limits of a generic profile: other than the usual motor, and no fault by that alone. */
  otherThanUsual?: true;
  /** The throw that it asks about, in words, where the run does not hold it. */
  notMade?: string;
  /** It may have been made: throws are there, and nothing tells which way they went. */
  wayUntold?: true;
  /** A verdict is never better than its required checks. */
  required: boolean;
  /** Where the limit comes from. */
  origin: 'maker' | 'learned' | 'model' | 'published' | 'generic';
}

export type Verdict = 'pass' | 'fail' | 'cannot-tell';

export interface Judgement {
  verdict: Verdict;
  /** One sentence: the verdict's reason. */
  sentence: string;
  /** What it begins with: the likely cause, the reading furthest out, or of a pass what the unit does. */
  says?: 'cause' | 'reading' | 'pass';
  /** Of a unit that passed: what it does, in the numbers that one wants to know. */
  does?: readonly Shown[];
  checks: Check[];
  findings: RankedFinding[];
  measured: Measured;
  /** Of a motor without a sheet: how good it is as far as that can be told; absent where numbers are held against. */
  grade?: MotorGrade;
  /** Parts of the unit that were not on the bench, by their ids in the circuit; absent where all of it was. */
  notOnBench?: readonly { id: string; title: string }[];
  /** Which way the output went when it was thrown forward, where somebody saw it. */
  way?: WayTold;
}
