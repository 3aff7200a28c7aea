// A sitting as it is kept in the store: begun with its first run or skip, its list as it stands, and what was decided.

import { CAUTIONS, HELD_ROTOR_CAUTIONS, type TrayKeeper } from '../bench/index.js';
import { known } from '../fields/index.js';
import type { Disposition, Store, Turn } from '../records/index.js';
import type { BenchDriver, SessionRequest, SessionUnit } from './bench-driver.js';

/** Cautions that were read this long ago are read again: the longest shift (common practice, no source). */
const SHIFT_S = 12 * 3600;

type SittingRecords = Pick<
  Store,
  'beginSitting' | 'addSittingUnit' | 'addSkip' | 'addDisposition' | 'takeBackDisposition'
>;

export class KeptSitting implements TrayKeeper {
  readonly #units: SessionUnit[];
  #id: number | undefined;
  /** Units of the list that the store knows of. */
  #kept = 0;

  constructor(
    readonly store: SittingRecords,
    readonly request: SessionRequest,
  ) {
    this.#units = [...request.units];
    this.#id = request.sittingId;
    if (this.#id !== undefined) this.#kept = this.#units.length;
  }

  join(unit: SessionUnit): void {
    this.#units.push(unit);
  }

  turn(place: number): Turn {
    return { sittingId: this.#begun(), place };
  }

  skip(place: number): void {
    this.store.addSkip(this.#begun(), place);
  }

  dispose(tag: string, runId: string, word: Disposition): void {
    this.store.addDisposition({ tag, runId, word, ...this.#operator() });
  }

  takeBack(runId: string): void {
    this.store.takeBackDisposition(runId, this.#operator().operator);
  }

  #operator(): { operator?: string } {
    return known({ operator: this.request.settings?.operator });
  }

  #begun(): number {
    const { kind, title, port, rigId } = this.request;
    this.#id ??= this.store.beginSitting({ kind, title, ...known({ port, rigId }), ...this.#operator() });
    for (const unit of this.#units.slice(this.#kept)) this.store.addSittingUnit(this.#id, unit);
    this.#kept = this.#units.length;
    return this.#id;
  }
}

/** By operator: who has read them has not read them for another. */
export const cautionsOf = (
  store: Pick<Store, 'lastAcknowledgement' | 'addAcknowledgement'>,
  operator: string | undefined,
  rigId: string | undefined,
): NonNullable<BenchDriver['cautions']> => ({
  areDue: () => {
    const last = store.lastAcknowledgement('cautions', operator);
    return last === undefined || Date.now() - Date.parse(last.at) > 1000 * SHIFT_S;
  },
  onRead: (what, tag) => {
    const lines = what === 'cautions' ? CAUTIONS : HELD_ROTOR_CAUTIONS;
    store.addAcknowledgement({ what, lines, tag, ...known({ rigId, operator }) });
  },
});
