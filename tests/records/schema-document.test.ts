// The page on the store's schema: its diagram is the text that the store's own tables give.

import { mkdtempSync, readFileSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import Sqlite from 'better-sqlite3';
import { expect, it } from 'vitest';
import { openStore } from '../../host/records/index.js';

/** Entities with their columns, then who refers to whom (Mermaid, erDiagram). */
function diagram(database: Sqlite.Database): string {
  const tables = database
    .prepare("SELECT name FROM sqlite_schema WHERE type = 'table' AND name NOT LIKE 'sqlite_%' ORDER BY name")
    .pluck()
    .all() as string[];
  const lines = tables.flatMap((table) => {
    const columns = database.pragma(`table_info(${table})`) as { name: string; type: string; pk: number }[];
    return [
      `  ${table} {`,
      ...columns.map(({ name, type, pk }) => `    ${type} ${name}${pk > 0 ? ' PK' : ''}`),
      '  }',
    ];
  });
  const links = tables.flatMap((table) => {
    const keys = database.pragma(`foreign_key_list(${table})`) as {
      table: string;
      from: string;
      seq: number;
    }[];
    return keys
      .filter(({ seq }) => seq === 0)
      .map(({ table: to, from }) => `  ${to} ||--o{ ${table} : ${from}`)
      .sort();
  });
  return ['erDiagram', ...lines, ...links].join('\n');
}

it('shows every table and column of the newest store', () => {
  const folder = mkdtempSync(join(tmpdir(), 'throwbench-schema-'));
  openStore(folder).close();
  const database = new Sqlite(join(folder, 'throwbench.sqlite'), { readonly: true });
  const page = readFileSync(new URL('../../host/records/SCHEMA.md', import.meta.url), 'utf8');
  const drawn = diagram(database);
  database.close();
  rmSync(folder, { recursive: true, force: true });
  expect(/```mermaid\n([\s\S]*?)\n```/.exec(page)?.[1]).toBe(drawn);
});
