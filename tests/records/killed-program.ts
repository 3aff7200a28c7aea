// A program that writes to a store and, where a server is named, sends to it, until it is killed. Before and after each
// thing it says on standard output what: `write NAME`, `done NAME`, `send`, `sent PLACE`. What it writes bears its name.

import { writeSync } from 'node:fs';
import { seededRandom } from '../../host/circuit/tolerance-random.js';
import { openStore } from '../../host/records/index.js';
import { begin, block, capture, judgement } from './example-run.js';

const [folder = '', seed = '1', url = ''] = process.argv.slice(2);
const { uniform: random } = seededRandom(Number(seed));
/** At once and in order: a pipe keeps what was written before the kill. */
const say = (line: string): void => void writeSync(1, `${line}\n`);
/** Bounded: whoever forgets to kill it waits no longer than this. */
const MOST = 3000;
const LIST = 12;

const store = openStore(folder);
const sending = url === '' ? undefined : await import('../../host/records/server/index.js');
const address = sending?.serverAddress(url);

function run(name: string): void {
  const runId = store.beginRun({ ...begin('V-0107', new Date().toISOString()), operator: name });
  const pieces = Math.floor(4 * random());
  for (let piece = 0; piece < pieces; piece++) store.appendSamples(runId, [block(piece * 50, 50)]);
  if (random() < 0.2) store.abortRun(runId, { reason: 'Stopped.' });
  else store.finishRun(runId, { capture: capture(200), judgement: judgement(), rawLines: [`ping ${name}`] });
}

const WAYS: readonly ((name: string) => void)[] = [
  run,
  run,
  (name) => store.addShopEntry({ tag: 'V-0107', operator: name, content: { kind: 'note', text: name } }),
  // A list, whole or not at all.
  (name) =>
    store.together(() => {
      for (let i = 0; i < LIST; i++)
        store.addShopEntry({ tag: `V-${i}`, job: '31', operator: name, content: { kind: 'listed' } });
    }),
];

// What is loaded once is loaded before the first write.
begin();
say('ready');
for (let i = 0; i < MOST; i++) {
  const name = `${seed}-${i}`;
  const way = WAYS[Math.floor(WAYS.length * random())];
  say(`write ${name}`);
  way?.(name);
  say(`done ${name}`);
  if (sending === undefined || address === undefined || random() < 0.75) continue;
  say('send');
  const { places } = await sending.catchUpStore(store.file, address);
  say(`sent ${places}`);
}
store.close();
