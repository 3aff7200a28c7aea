// Works out the meter checks of a unit and writes the sheet.

import { writeFileSync } from 'node:fs';
import { resolve } from 'node:path';
import { InputError } from '../input/index.js';
import { type MeterCheck, meterChecks, readingsOf } from '../plan/index.js';
import { type CommandIo, EXIT, jsonText } from './command.js';
import { sheetPage } from './meter-page.js';
import { sheetLines } from './meter-sheet.js';
import { unitAsBuilt } from './unit-as-built.js';

export interface MeterAsked {
  profile: string;
  circuit?: string | undefined;
  lamp: boolean;
  html?: string | undefined;
  json: boolean;
}

const MOST_COLUMNS = 100;

/** The exit code. @throws InputError for a profile that cannot be read or a page that cannot be written */
export function meter({ profile, circuit, lamp, html, json }: MeterAsked, io: CommandIo): number {
  const unit = unitAsBuilt(profile, circuit);
  const way = lamp ? 'lamp' : 'ohms';
  const found = meterChecks(unit, readingsOf(unit, way));
  if (html !== undefined) {
    try {
      writeFileSync(resolve(io.cwd, html), sheetPage(unit, found, way));
    } catch (error) {
      const what = `cannot be written (${(error as NodeJS.ErrnoException).code})`;
      throw new InputError(
        { file: html, what, mend: 'check folder, permissions and space' },
        { cause: error },
      );
    }
  }
  if (json) {
    const unseen = found.unseen.map(({ id, sentence }) => ({ id, sentence }));
    io.stdout(
      jsonText({ profile: unit.unit.id, circuit: unit.style.id, checks: found.checks.map(told), unseen }),
    );
  } else
    io.stdout(
      `${sheetLines(unit, found, { way, columns: Math.min(io.columns, MOST_COLUMNS) }).join('\n')}\n`,
    );
  return EXIT.pass;
}

/** JSON has no infinity: `most` is absent where it must read open. */
function told({ reading: { state, range, from, to }, shows: { least, most }, sees }: MeterCheck): object {
  const isOpen = most === Number.POSITIVE_INFINITY;
  return {
    state,
    range,
    from: from.words,
    to: to.words,
    open: isOpen,
    ...(isOpen ? {} : { least, most }),
    shows: sees.map(({ id }) => id),
  };
}
