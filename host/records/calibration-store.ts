// Calibrations and known-load checks of rigs in the store: only ever added, never changed.

import type { Database, RunResult } from 'better-sqlite3';
import type { Channel } from '../capture/index.js';
import { programVersion } from '../program/index.js';
import { appendToChain } from './chain.js';
import type { Linked } from './chain-link.js';
import { tellLinked } from './linked.js';
import type { Signer } from './signing.js';

/** One reading of a channel against something known, through the scale that the rig profile had. */
export interface KnownReading {
  rigId: string;
  channel: Channel;
  /** Wall clock, ISO 8601. */
  at: string;
  reading: number;
  /** Standard uncertainties, in the channel's unit. */
  readingUncertainty: number;
  reference: number;
  referenceUncertainty: number;
}

export interface CalibrationPoint extends KnownReading {
  point: 'zero' | 'load';
  atZeroCount: number;
  perCount: number;
}

export interface ShiftCheck extends KnownReading {
  moment: 'start' | 'end';
  /** What reading and reference may differ by: their expanded uncertainty. */
  allowed: number;
  isGood: boolean;
}

/** Columns of both tables, with the names that they have here. */
const KNOWN_READING = `rig_id AS rigId, channel, at, reading, reading_uncertainty AS readingUncertainty, reference,
  reference_uncertainty AS referenceUncertainty`;

export class CalibrationStore {
  constructor(
    protected readonly database: Database,
    /** The shop's key, where it has one. */
    private readonly signer?: Signer,
  ) {}

  /** Links what has just been written into the chain; inside the transaction that writes it. */
  protected link(linked: Linked): void {
    appendToChain(this.database, linked, this.signer);
    tellLinked();
  }

  /** A point is added, never changed: the newest holds from its day on. */
  addCalibration(point: CalibrationPoint): void {
    this.#chained('calibrationId', () =>
      this.database
        .prepare(
          `INSERT INTO calibrations (rig_id, channel, point, at, reading, reading_uncertainty, reference,
           reference_uncertainty, at_zero_count, per_count, tool_version)
         VALUES (@rigId, @channel, @point, @at, @reading, @readingUncertainty, @reference,
           @referenceUncertainty, @atZeroCount, @perCount, @toolVersion)`,
        )
        .run({ ...point, toolVersion: programVersion() }),
    );
  }

  /** Oldest first; of all rigs when none is named. */
  listCalibrations(rigId?: string): CalibrationPoint[] {
    return this.database
      .prepare(
        `SELECT ${KNOWN_READING}, point, at_zero_count AS atZeroCount, per_count AS perCount FROM calibrations
         WHERE ? IS NULL OR rig_id = ? ORDER BY at, id`,
      )
      .all(rigId ?? null, rigId ?? null) as CalibrationPoint[];
  }

  addShiftCheck(check: ShiftCheck): void {
    this.#chained('shiftCheckId', () =>
      this.database
        .prepare(
          `INSERT INTO shift_checks (rig_id, channel, moment, at, reading, reading_uncertainty, reference,
           reference_uncertainty, allowed, good, tool_version)
         VALUES (@rigId, @channel, @moment, @at, @reading, @readingUncertainty, @reference,
           @referenceUncertainty, @allowed, @good, @toolVersion)`,
        )
        .run({ ...check, isGood: null, good: check.isGood ? 1 : 0, toolVersion: programVersion() }),
    );
  }

  /** Oldest first; of all rigs when none is named. */
  listShiftChecks(rigId?: string): ShiftCheck[] {
    const rows = this.database
      .prepare(
        `SELECT ${KNOWN_READING}, moment, allowed, good FROM shift_checks
         WHERE ? IS NULL OR rig_id = ? ORDER BY at, id`,
      )
      .all(rigId ?? null, rigId ?? null) as (Omit<ShiftCheck, 'isGood'> & { good: number })[];
    return rows.map(({ good, ...check }) => ({ ...check, isGood: good === 1 }));
  }

  /** Written and linked into the hash chain as one. */
  #chained(kind: 'calibrationId' | 'shiftCheckId', insert: () => RunResult): void {
    this.database
      .transaction(() => {
        const { lastInsertRowid } = insert();
        this.link({ [kind]: Number(lastInsertRowid) });
      })
      .immediate();
  }
}
