// A table in plain lines.

import { itemAt } from '../arrays/index.js';

/** Columns as wide as their widest cell, two spaces apart; those that `isRight` names end in one line. */
export function tableLines(
  rows: readonly (readonly string[])[],
  isRight: (column: number) => boolean = () => false,
): string[] {
  const widths: number[] = [];
  for (const row of rows)
    for (const [column, cell] of row.entries()) widths[column] = Math.max(widths[column] ?? 0, cell.length);
  return rows.map((row) =>
    row
      .map((cell, column) => {
        const width = itemAt(widths, column);
        return isRight(column) ? cell.padStart(width) : cell.padEnd(width);
      })
      .join('  ')
      .trimEnd(),
  );
}
