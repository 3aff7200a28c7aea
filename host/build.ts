// `npm run build`: the program and the threads that it starts as few files in dist/. A start reads what its verb needs
// and no more; hundreds of small files cost four times as much.

import { execFileSync } from 'node:child_process';
import { copyFileSync, readdirSync, rmSync, writeFileSync } from 'node:fs';
import { basename, join, resolve } from 'node:path';
import { fileURLToPath } from 'node:url';
import { build } from 'esbuild';
import { APART } from './bundle-apart.js';

const HOST = fileURLToPath(new URL('.', import.meta.url));
/** Where to: dist/, unless a folder is named. */
const DIST = resolve(process.argv[2] ?? fileURLToPath(new URL('../dist/', import.meta.url)));

/** Never asked for by what is built: the loader of the sources, and a debugger that nobody ships. */
const NOT_SHIPPED = ['tsx', 'react-devtools-core'];

/** Libraries of the older kind that are bundled ask for Node's own modules in this way. */
const REQUIRE =
  "import { createRequire as __createRequire } from 'node:module'; const require = __createRequire(import.meta.url);";

const threads = readdirSync(HOST, { recursive: true, encoding: 'utf8' }).filter((path) =>
  path.endsWith('-worker.ts'),
);
const entries = [join(HOST, 'cli.ts'), ...threads.map((path) => join(HOST, path))];
const names = entries.map((path) => basename(path));
// A thread is started as a file beside the one that starts it, so all lie in one folder.
if (new Set(names).size < names.length) throw new Error(`two threads have one name: ${names.join(', ')}`);

rmSync(DIST, { recursive: true, force: true });
await build({
  entryPoints: entries,
  outdir: DIST,
  entryNames: '[name]',
  chunkNames: '[name]-[hash]',
  bundle: true,
  splitting: true,
  format: 'esm',
  platform: 'node',
  target: 'node20',
  external: [...APART, ...NOT_SHIPPED],
  banner: { js: REQUIRE },
  // Yoga looks whether there is a `fetch`, and Node then loads its whole HTTP client; nothing here fetches.
  define: { 'process.env.NODE_ENV': '"production"', fetch: 'undefined' },
  sourcemap: true,
  sourcesContent: false,
  logLevel: 'warning',
});

// What is handed on as it stands, read from beside the program.
for (const path of readdirSync(HOST, { recursive: true, encoding: 'utf8' }))
  if (path.endsWith('.js')) copyFileSync(join(HOST, path), join(DIST, basename(path)));

// The manual page, which `npm install` hands to man.
writeFileSync(join(DIST, 'throwbench.1'), execFileSync(process.execPath, [join(DIST, 'cli.js'), 'man']));
