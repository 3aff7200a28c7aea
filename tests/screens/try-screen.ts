// Shows the bench screen with the scripted bench, for a look by eye: npx tsx tests/screens/try-screen.ts

import { wallClock } from '../../host/link/index.js';
import { BenchController, showBench, themeFor } from '../../host/screens/index.js';
import { scriptedTray, TRAY } from './scripted-bench.js';

const abort = new AbortController();
const controller = new BenchController({
  stop: () => abort.abort(),
  clock: wallClock,
  startsByItself: !process.argv.includes('--clip-on'),
});
const events = scriptedTray({
  signal: abort.signal,
  beforeUnit: (index) => controller.beforeUnit(index, TRAY[index]!.tag),
  sleep: (seconds) => wallClock.sleep(seconds),
});
const consumed = controller.consume(events);
const how = await showBench(controller, process, themeFor(process.env));
if (!how.forced) await consumed;
process.stdout.write(`left ${how.forced ? 'by force' : 'in order'}\n`);
process.exit(0);
