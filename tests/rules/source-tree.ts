// Reads the sources as text for the rule tests: files, their imports, and where each import leads.

import { readdirSync, readFileSync } from 'node:fs';
import { dirname, join, relative, resolve } from 'node:path';
import { fileURLToPath } from 'node:url';

export const ROOT = resolve(dirname(fileURLToPath(import.meta.url)), '../..');

export interface Import {
  specifier: string;
  /** Path from the repository's top; undefined for a package. */
  target: string | undefined;
  typeOnly: boolean;
}

export interface SourceFile {
  /** Path from the repository's top, with forward slashes. */
  path: string;
  text: string;
  imports: Import[];
}

export function listFiles(folder: string, accept: (name: string) => boolean): string[] {
  return readdirSync(join(ROOT, folder), { recursive: true, withFileTypes: true })
    .filter((entry) => entry.isFile() && accept(entry.name))
    .map((entry) => relative(ROOT, join(entry.parentPath, entry.name)).replaceAll('\\', '/'))
    .filter((path) => !path.includes('node_modules/'))
    .sort();
}

const IMPORT =
  /(?:^|\n)\s*(?:import|export)\s+(type\s+)?(?:[\w*\s{},$]+?\s+from\s+)?'([^']+)'|import\(\s*'([^']+)'\s*\)/g;

/** Comments and string contents blanked, so that a rule does not trip over prose. */
export function codeOnly(text: string): string {
  return text.replace(/\/\*[\s\S]*?\*\/|(^|[^:'"`\\])\/\/[^\n]*/g, '$1');
}

export function readSources(folder: string): SourceFile[] {
  return listFiles(folder, (name) => /\.tsx?$/.test(name)).map((path) => {
    const text = readFileSync(join(ROOT, path), 'utf8');
    const imports = [...codeOnly(text).matchAll(IMPORT)].map((match) => {
      const specifier = match[2] ?? match[3] ?? '';
      const target = specifier.startsWith('.')
        ? relative(ROOT, resolve(ROOT, dirname(path), specifier)).replaceAll('\\', '/')
        : undefined;
      return { specifier, target, typeOnly: match[1] !== undefined };
    });
    return { path, text, imports };
  });
}

/** `host/circuit/solver.ts` belongs to module `circuit`; the protocol folder is a module of its own. */
export function moduleOf(path: string): string {
  const parts = path.split('/');
  if (parts[0] === 'firmware-protocol') return 'firmware-protocol';
  return parts.length > 2 ? parts[1]! : 'cli';
}
