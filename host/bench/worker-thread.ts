// Starts a worker thread from a module of this package, in a build and in a checkout alike.

import { createRequire } from 'node:module';
import { pathToFileURL } from 'node:url';
import { Worker } from 'node:worker_threads';

/** `name` is a file beside `base`, without its ending. */
export function startWorker(name: string, base: string, workerData?: unknown): Worker {
  if (!base.endsWith('.ts')) return new Worker(new URL(`${name}.js`, base), { workerData });
  // In a checkout the sources run as they are. The loader does not reach into threads on Node 20, so each imports it.
  const loader = import.meta.resolve?.('tsx/esm/api') ?? loaderBeside(base);
  const entry = new URL(`${name}.ts`, base).href;
  const script = `import(${JSON.stringify(loader)}).then(({ tsImport }) => tsImport(${JSON.stringify(entry)}, ${JSON.stringify(base)}))`;
  return new Worker(script, { eval: true, workerData });
}

/** For test runners without `import.meta.resolve`. */
function loaderBeside(base: string): string {
  const manifest = createRequire(base).resolve('tsx/package.json');
  return new URL('./dist/esm/api/index.mjs', pathToFileURL(manifest)).href;
}
