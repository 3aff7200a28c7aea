// `npm run bench`: every speed figure as a ratio against a baseline measured in the same run. Prints; fails nothing.

type Print = (line: string) => void;

const PARTS: Record<string, (print: Print) => Promise<unknown>> = {
  start: async (print) => (await import('./start.js')).benchStart(print),
  solver: async (print) => (await import('./solver.js')).benchSolver(print),
  faults: async (print) => (await import('./faults.js')).benchFaults(print),
  measure: async (print) => (await import('./measure.js')).benchMeasure(print),
  import: async (print) => (await import('./measure-import.js')).benchImport(print),
  judge: async (print) => (await import('./judge.js')).benchJudge(print),
  link: async (print) => (await import('./link.js')).benchLink(print),
  records: async (print) => (await import('./records.js')).benchRecords(print),
  board: async (print) => (await import('./board.js')).benchBoard(print),
};

const wanted = process.argv.slice(2);
const unknown = wanted.filter((name) => !(name in PARTS));
if (unknown.length > 0) {
  console.error(`bench: no part named ${unknown.join(', ')}; there are ${Object.keys(PARTS).join(', ')}`);
  process.exit(2);
}

for (const [name, bench] of Object.entries(PARTS)) {
  if (wanted.length > 0 && !wanted.includes(name)) continue;
  console.log(`\n${name}`);
  await bench((line) => console.log(`  ${line}`));
}
