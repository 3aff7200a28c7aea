// `npm run metering`: seeded faults of every style found with a simulated hand meter, in ohms before any power and in volts
// through a lamp; the median number of readings against the whole sheet.

import { meteringRow, missedText, rowText, unitsOfEveryStyle } from '../plan/metering-table.js';

const SEED = Number(process.argv[process.argv.indexOf('--seed') + 1]) || 9001;
const UNITS = Number(process.argv[process.argv.indexOf('--units') + 1]) || 500;

for (const way of ['ohms', 'lamp'] as const) {
  console.log(
    `${way === 'ohms' ? 'Ohms, nothing fed' : 'Volts through a lamp'}: ${UNITS} units a style, seed ${SEED}`,
  );
  for (const [nth, unit] of unitsOfEveryStyle().entries()) {
    const row = meteringRow(unit, { way, units: UNITS, seed: SEED + nth });
    if (row === undefined) continue;
    console.log(rowText(row));
    for (const missed of row.missed) console.log(`    ${missedText(missed)}`);
  }
}
