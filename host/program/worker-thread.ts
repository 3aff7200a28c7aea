// Starts a worker thread from a module of this package, in a build and in a checkout alike.

import { createRequire } from 'node:module';
import { pathToFileURL } from 'node:url';
import { type TransferListItem, Worker } from 'node:worker_threads';

/** `name` is a file beside `base`, without its ending; `transferList` names what of `workerData` is handed over. */
export function startWorker(
  name: string,
  base: string,
  workerData?: unknown,
  transferList: TransferListItem[] = [],
): Worker {
  // In a thread that was itself started from the sources, the loader marks every address.
  const place = base.replace(/\?.*$/, '');
  if (!place.endsWith('.ts')) {
    const traced = process.env.THROWBENCH_DEBUG === '1' ? ['--enable-source-maps'] : [];
    const execArgv = [...process.execArgv, ...traced];
    return new Worker(new URL(`${name}.js`, base), { workerData, transferList, execArgv });
  }
  // In a checkout the sources run as they are. The loader does not reach into threads on Node 20, so each imports it.
  const loader = (import.meta.resolve?.('tsx/esm/api') ?? loaderBeside(place)).replace(/\?.*$/, '');
  const entry = new URL(`${name}.ts`, place).href;
  const script = `import(${JSON.stringify(loader)}).then(({ tsImport }) => tsImport(${JSON.stringify(entry)}, ${JSON.stringify(place)}))`;
  return new Worker(script, { eval: true, workerData, transferList });
}

/** For test runners without `import.meta.resolve`. */
function loaderBeside(base: string): string {
  const manifest = createRequire(base).resolve('tsx/package.json');
  return new URL('./dist/esm/api/index.mjs', pathToFileURL(manifest)).href;
}
