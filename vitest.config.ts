import { defineConfig } from 'vitest/config';

export default defineConfig({
  test: {
    include: ['tests/**/*.test.{ts,tsx}'],
    testTimeout: 30_000,
    hookTimeout: 30_000,
    pool: 'forks',
    // Both cores of the smallest machine that this is worked on.
    maxWorkers: 2,
    // Files of one worker share their modules, and what tests have worked out of profiles: half the time. Each test
    // stands alone all the same; `npx vitest run --sequence.shuffle` shows it.
    isolate: false,
    // What a test works out is worked out, not found.
    env: { THROWBENCH_CACHE: 'off' },
  },
});
