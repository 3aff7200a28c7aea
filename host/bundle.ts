// `npm run bundle -- linux-x64|win-x64 [--node VERSION] [--out FOLDER]`: the program with Node and its native parts in one
// archive for a computer on which nothing is installed; unpacked it is started by one file. Records and settings lie
// elsewhere (records/location.ts, commands/settings.ts), so a newer archive in its place keeps both.

import { execFileSync } from 'node:child_process';
import {
  chmodSync,
  cpSync,
  existsSync,
  mkdirSync,
  readdirSync,
  readFileSync,
  rmSync,
  statSync,
  writeFileSync,
} from 'node:fs';
import { join, resolve } from 'node:path';
import { fileURLToPath } from 'node:url';
import { parseArgs } from 'node:util';
import { type Zippable, zipSync } from 'fflate';
import { APART } from './bundle-apart.js';
import {
  copyPackages,
  isOurs,
  nativeParts,
  nodeFrom,
  packagesFor,
  storePart,
  TARGETS,
  type Target,
} from './bundle-parts.js';

const ROOT = fileURLToPath(new URL('..', import.meta.url));
/** A line with long-term support; newer ones by --node. `own`: the Node that runs this. */
const NODE_VERSION = '22.23.3';

export interface BundleAsked {
  target: Target;
  /** A version, or `own`. */
  node: string;
  out: string;
  cache?: string;
  /** How hard it is packed: 1 is quick. */
  level?: Level;
}
type Level = 1 | 6;

export interface BundleMade {
  file: string;
  /** What is in it that only this platform runs. */
  native: readonly string[];
  /** By name, what it lacks and why. */
  missing: readonly string[];
}

export function makeBundle({ target, node, out, cache, level = 6 }: BundleAsked): BundleMade {
  const keep = cache ?? join(ROOT, 'node_modules', '.cache', 'bundle');
  const { version, files } = JSON.parse(readFileSync(join(ROOT, 'package.json'), 'utf8')) as {
    version: string;
    files: string[];
  };
  const name = `throwbench-${version}-${target.name}`;
  const folder = join(out, name);
  rmSync(folder, { recursive: true, force: true });
  const app = join(folder, 'app');
  mkdirSync(app, { recursive: true });
  for (const path of ['package.json', 'LICENSE', 'README.md', ...files])
    if (!path.includes('*')) cpSync(join(ROOT, path), join(app, path), { recursive: true });
  for (const path of files.filter((each) => each.includes('*'))) copyMatching(path, app);
  const packages = packagesFor(APART, ROOT);
  copyPackages(packages, ROOT, app, target);

  const isOwn = node === 'own';
  if (isOwn && !isOurs(target)) throw new Error(`this Node is not for ${target.name}: name a version`);
  const from = isOwn ? undefined : nodeFrom(target, node, keep);
  const program = join(folder, 'node', target.nodeProgram.replace('bin/', ''));
  mkdirSync(join(folder, 'node'), { recursive: true });
  cpSync(from === undefined ? process.execPath : join(from, target.nodeProgram), program);
  if (from !== undefined) cpSync(licenceOf(from, node, keep), join(folder, 'node', 'LICENSE'));
  const abi = isOwn ? process.versions.modules : isOurs(target) ? abiOf(program) : '';
  const lacks = storePart(
    { root: ROOT, cache: keep, to: join(app, 'node_modules', 'better-sqlite3') },
    target,
    { version: isOwn ? process.versions.node : node, folder: from, abi },
  );
  const missing = lacks === undefined ? [] : [lacks];
  start(folder, target);
  if (missing.length > 0)
    writeFileSync(
      join(folder, 'MISSING.txt'),
      `This archive does not work yet. It lacks:\n${missing.join('\n')}\n`,
    );
  return { file: pack(out, name, target, level), native: nativeParts(app), missing };
}

/** Node's own; the package for Windows has none in it, and it is the same. */
function licenceOf(from: string, version: string, cache: string): string {
  const own = join(from, 'LICENSE');
  const [first] = TARGETS;
  return existsSync(own) || first === undefined ? own : join(nodeFrom(first, version, cache), 'LICENSE');
}

const abiOf = (program: string): string =>
  execFileSync(program, ['-p', 'process.versions.modules'], { encoding: 'utf8' }).trim();

/** `a/b/*.ext` */
function copyMatching(path: string, app: string): void {
  const at = path.lastIndexOf('/');
  const [folder, ending] = [path.slice(0, at), path.slice(at + 2)];
  mkdirSync(join(app, folder), { recursive: true });
  for (const name of readdirSync(join(ROOT, folder)).filter((each) => each.endsWith(ending)))
    cpSync(join(ROOT, folder, name), join(app, folder, name));
}

/** The one file by which it is started. */
function start(folder: string, { name }: Target): void {
  if (name === 'win-x64') {
    // Closing the window comes to the program as SIGHUP (Node.js, Signal events), and it sends outputs off.
    const lines = ['@echo off', 'chcp 65001 >nul', '"%~dp0node\\node.exe" "%~dp0app\\dist\\cli.js" %*', ''];
    writeFileSync(join(folder, 'throwbench.cmd'), lines.join('\r\n'));
    return;
  }
  const path = join(folder, 'throwbench');
  writeFileSync(
    path,
    `#!/bin/sh
# May be called through a link from a folder on the PATH.
here=$(dirname "$(readlink -f "$0")")
exec "$here/node/node" "$here/app/dist/cli.js" "$@"
`,
  );
  chmodSync(path, 0o755);
}

function pack(out: string, name: string, target: Target, level: Level): string {
  if (target.name !== 'win-x64') {
    execFileSync('tar', ['-I', `gzip -${level}`, '-cf', `${name}.tar.gz`, name], { cwd: out });
    return join(out, `${name}.tar.gz`);
  }
  const entries: Zippable = {};
  for (const path of readdirSync(join(out, name), { recursive: true, encoding: 'utf8' })) {
    const full = join(out, name, path);
    if (statSync(full).isFile()) entries[`${name}/${path.replaceAll('\\', '/')}`] = readFileSync(full);
  }
  writeFileSync(join(out, `${name}.zip`), zipSync(entries, { level }));
  return join(out, `${name}.zip`);
}

if (process.argv[1] === fileURLToPath(import.meta.url)) {
  const { values, positionals } = parseArgs({
    options: {
      node: { type: 'string', default: NODE_VERSION },
      out: { type: 'string', default: 'bundles' },
    },
    allowPositionals: true,
  });
  const target = TARGETS.find(({ name }) => name === positionals[0]);
  if (target === undefined)
    throw new Error(`for which computer? ${TARGETS.map(({ name }) => name).join(' or ')}`);
  const made = makeBundle({ target, node: values.node, out: resolve(values.out) });
  process.stdout.write(`${made.file}\nnative parts: ${made.native.join(', ')}\n`);
  for (const lack of made.missing) process.stdout.write(`missing: ${lack}\n`);
  process.exitCode = made.missing.length > 0 ? 1 : 0;
}
