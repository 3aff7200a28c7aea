// The tests that a mutation run goes by: those of judging, diagnosing and measuring that simulate little.

import { defineConfig } from 'vitest/config';

/** Each simulates for seconds, of every fault or of many draws, and reaches nearly every line. */
const SLOW = [
  'judge/{by-hand,course,end-to-end,published-currents,recognise,relay-faults,relay-published,reversal,rig-faults,ripple,styles,subject}',
  'diagnose/{diagnose,library,next-probe,relay-coil-volts}',
  'measure/{accuracy,gum,model-fit,order-statistics,virtual-rig-accuracy}',
];

export default defineConfig({
  test: {
    include: ['tests/{judge,diagnose,measure}/**/*.test.ts'],
    exclude: SLOW.map((names) => `tests/${names}.test.ts`),
    // What hangs is ended from outside, by the time that its tests took without it.
    testTimeout: 0,
    hookTimeout: 0,
    isolate: false,
    env: { THROWBENCH_CACHE: 'off' },
  },
});
