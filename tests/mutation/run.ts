// How many small changes of judging, diagnosing and the decisions of measuring the tests see: a seeded sample of mutants.
// `npm run mutants -- [--count N] [--seed N] [--of GLOB]`; prints survivors by file, and the share that died.

import { parseArgs } from 'node:util';
import { Stryker } from '@stryker-mutator/core';
import { equivalentMutants, isListed } from './equivalent.js';

/** What decides; the rest of measuring is arithmetic, which `npm run accuracy` holds against the truth. */
const DECIDES = [
  'host/judge/**/*.ts',
  'host/diagnose/**/*.ts',
  'host/measure/{brake,contact,dropouts,fed,held-rotor,limited,limited-short,measure,release}.ts',
  'host/measure/{run-end,run-stretch,runs,segment,select,source,start,throw}.ts',
  'host/measure/relay/*.ts',
];
const { values } = parseArgs({
  options: {
    count: { type: 'string', default: '1500' },
    seed: { type: 'string', default: '1' },
    of: { type: 'string', multiple: true, default: DECIDES },
    workers: { type: 'string', default: '2' },
  },
});
process.env.MUTANTS_COUNT = values.count;
process.env.MUTANTS_SEED = values.seed;

const results = await new Stryker({
  mutate: values.of,
  testRunner: 'vitest',
  plugins: ['@stryker-mutator/vitest-runner', './tests/mutation/sampled.mjs'],
  checkers: ['sampled'],
  vitest: { configFile: 'tests/mutation/vitest.config.ts', related: false },
  coverageAnalysis: 'perTest',
  // A constant of a module is made once for all tests: all of them would have to run for each of its mutants.
  ignoreStatic: true,
  concurrency: Number(values.workers),
  timeoutMS: 20_000,
  timeoutFactor: 3,
  dryRunTimeoutMinutes: 120,
  tempDirName: '.stryker-tmp',
  ignorePatterns: ['logs', 'dist'],
  allowConsoleColors: false,
  reporters: ['progress-append-only'],
}).runMutationTest();

/** What is not in the sample comes back as one that does not compile. */
const NOT_TRIED = ['Ignored', 'CompileError', 'RuntimeError'];
const isDead = (status: string): boolean => status === 'Killed' || status === 'Timeout';
const told = results.filter(({ status }) => !NOT_TRIED.includes(status));
const alive = told.filter((mutant) => !isDead(mutant.status));
const survivors = alive.filter((mutant) => !isListed(mutant, equivalentMutants));
const counted = told.length - (alive.length - survivors.length);
const died = counted - survivors.length;

const placeOf = ({ fileName }: { fileName: string }): string => fileName.replace(`${process.cwd()}/`, '');
for (const file of [...new Set(survivors.map(placeOf))].sort()) {
  console.log(`\n${file}`);
  const ofFile = survivors.filter((mutant) => placeOf(mutant) === file);
  for (const { location, mutatorName, replacement, status } of ofFile)
    console.log(
      `  ${location.start.line}:${location.start.column}-${location.end.line}:${location.end.column} ${status} ${mutatorName}: ${replacement.replace(/\s+/g, ' ').slice(0, 120)}`,
    );
}

/** Wilson's score interval of a share, 95 % (NIST/SEMATECH e-Handbook 7.2.4.1). */
function wilson(share: number, count: number): [number, number] {
  const z = 1.96;
  const middle = (share + z ** 2 / (2 * count)) / (1 + z ** 2 / count);
  const half =
    (z / (1 + z ** 2 / count)) * Math.sqrt((share * (1 - share)) / count + z ** 2 / (4 * count ** 2));
  return [middle - half, middle + half];
}
const percent = (share: number): string => `${(100 * share).toFixed(1)} %`;
const [low, high] = wilson(died / counted, counted);
const ignored = results.filter(({ status }) => status === 'Ignored').length;
console.log(
  `\nseed ${values.seed}: ${died} of ${counted} mutants died, ${percent(died / counted)} (95 %: ${percent(low)} to ${percent(high)}); ${results.length} in all, of which ${ignored} of constants were not tried; ${alive.length - survivors.length} equivalent.`,
);
