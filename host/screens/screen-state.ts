// What the bench screen shows, and how a piece of it is told of and changes it.

import type { BenchView } from './bench-view-model.js';
import type { Gate } from './gate.js';
import type { Question } from './question.js';
import type { RoomView } from './room.js';
import type { TraceLook } from './trace-look.js';

export interface ScreenState {
  bench: BenchView;
  /** In words, which rig or bench this is, until the rig itself has told. */
  where?: string;
  /** What holds the bench back now. */
  gate?: Gate | undefined;
  /** What is asked now. */
  question?: Question | undefined;
  stop: 'no' | 'asked' | 'unconfirmed';
  /** No further event will come. */
  ended: boolean;
  page: 'bench' | 'table' | 'unit' | 'traces';
  /** Of the page of traces. */
  look?: TraceLook | undefined;
  /** Row of the table. */
  selected: number;
  /** Pieces of a unit's page that are above its first row: sentence, causes, checks. */
  scroll: number;
  /** Rooms that are open, the one that is seen last. */
  rooms?: readonly RoomView[] | undefined;
  /** Said once below: a scan that means nothing here. */
  notice?: string | undefined;
}

/** The state as one of the screen's pieces sees it: read now, changed in part. */
export interface StateHolder {
  readonly state: ScreenState;
  set(change: Partial<ScreenState>): void;
}
