// A program that records runs, for the tests that kill it or start two of it. Says on standard output what is durable.

import { openStore } from '../../host/records/index.js';
import { begin, block, capture, judgement } from './example-run.js';

const [folder, mode, count = '2'] = process.argv.slice(2);
const store = openStore(folder);

for (let i = 0; i < Number(count); i++) {
  const runId = store.beginRun(begin(`V-${process.pid}`));
  store.appendSamples(runId, [block(0, 50)]);
  store.finishRun(runId, { capture: capture(200), judgement: judgement() });
  console.log(`finished ${runId}`);
}
if (mode === 'die') {
  const runId = store.beginRun(begin());
  console.log(`begun ${runId}`);
  // Bounded: whoever forgets to kill it waits no longer than this.
  for (let piece = 0; piece < 5000; piece++) {
    store.appendSamples(runId, [block(piece * 50, 50)]);
    console.log(`piece ${piece + 1}`);
    await new Promise((resolve) => setTimeout(resolve, 1));
  }
}
store.close();
