import { readdirSync, readFileSync } from 'node:fs';
import { defineConfig } from 'vitest/config';

const files = readdirSync('tests', { recursive: true, encoding: 'utf8' })
  .filter((name) => /\.test\.tsx?$/.test(name))
  .map((name) => `tests/${name.replaceAll('\\', '/')}`);
/** To put something in a module's place takes the runner's own loader, in which every import costs at each use. */
const replacing = files.filter((file) => /\bvi\.(mock|spyOn)\(/.test(readFileSync(file, 'utf8')));

export default defineConfig({
  test: {
    // A slow machine is no failing program: these end what hangs.
    testTimeout: 300_000,
    hookTimeout: 300_000,
    pool: 'forks',
    // Both cores of the smallest machine that this is worked on.
    maxWorkers: 2,
    // Files of one worker share their modules, and what tests have worked out of profiles: half the time. Each test
    // stands alone all the same; `npx vitest run --sequence.shuffle` shows it.
    isolate: false,
    // What a test works out is worked out, not found; nothing is settled but what the test settles, and no shop's server
    // hears of it.
    env: { THROWBENCH_CACHE: 'off', THROWBENCH_SETTINGS: 'tests/no-settings.yaml', THROWBENCH_STORE: '' },
    projects: [
      {
        extends: true,
        test: {
          name: 'native',
          include: files.filter((file) => !replacing.includes(file)),
          // Modules as Node loads them: half the time again.
          execArgv: ['--import', 'tsx'],
          experimental: { viteModuleRunner: false, nodeLoader: false },
        },
      },
      { extends: true, test: { name: 'replacing', include: replacing } },
    ],
  },
});
