// Records of a file's beginning under a separator that is only tried: nothing is a fault here, a stray quote is a sign
// like any other. The rows themselves are read by CsvScanner, which tells the faults.

export interface HeadRecord {
  cells: string[];
  /** Of its first character. */
  at: number;
  line: number;
  /** It begins with a sign for remarks; its cells come without that sign. */
  comment: boolean;
  /** Between blanks only: its cells with two or more blanks, or a tab, between them. */
  header?: string[];
}

/** A head is never taken apart further than this. */
const MOST_RECORDS = 600;
const COMMENT = /^\s*(?:#+|%+|\/\/+|!+)\s*/;

/** Records from `from` on that are not empty lines; the last one is left out unless the head is the whole file. */
export function headRecords(
  head: string,
  separator: string,
  from: { at: number; line: number },
  isWhole: boolean,
): HeadRecord[] {
  const records: HeadRecord[] = [];
  let { at, line } = from;
  while (at < head.length && records.length < MOST_RECORDS) {
    const end = endOfRecord(head, at, separator);
    if (end === head.length && !isWhole) break;
    const text = head.slice(at, end);
    if (text.trim() !== '') {
      const sign = COMMENT.exec(text)?.[0];
      const told = sign === undefined ? text : text.slice(sign.length);
      if (told.trim() !== '')
        records.push({ ...cellsOf(told, separator), at, line, comment: sign !== undefined });
    }
    line += (text.match(/\r\n|\n|\r/g) ?? []).length + 1;
    at = end + (head.startsWith('\r\n', end) ? 2 : 1);
  }
  return records;
}

/** The line's end, or that of the record where a quoted field goes over several lines. */
function endOfRecord(head: string, at: number, separator: string): number {
  const lineEnd = (from: number): number => {
    const found = /[\r\n]/g;
    found.lastIndex = from;
    return found.exec(head)?.index ?? head.length;
  };
  const end = lineEnd(at);
  const quotes = head.slice(at, end).split('"').length - 1;
  if (quotes % 2 === 0) return end;
  const opening =
    separator === ' '
      ? /(?:^|\s)"[^"]*$/
      : new RegExp(`(?:^|[${separator.replace(/[|\\\]^]/, '\\$&')}])"(?:[^"]|"")*$`);
  if (!opening.test(head.slice(at, end))) return end;
  const close = /"(?!")/g;
  close.lastIndex = end;
  const found = close.exec(head);
  return found ? lineEnd(found.index) : end;
}

function cellsOf(text: string, separator: string): Pick<HeadRecord, 'cells' | 'header'> {
  if (separator === ' ') {
    const told = text.trim();
    const wide = told.split(/\s{2,}|\t/).map(unquoted);
    const narrow = (told.match(/"[^"]*"|\S+/g) ?? []).map(unquoted);
    return { cells: narrow, header: wide.length > 1 ? wide : unitsJoined(narrow) };
  }
  const cells: string[] = [];
  let at = 0;
  for (;;) {
    const quoted = /^ *"((?:[^"]|"")*)" */.exec(text.slice(at));
    const behind = quoted ? at + quoted[0].length : at;
    if (quoted && (behind === text.length || text[behind] === separator)) {
      cells.push((quoted[1] ?? '').replaceAll('""', '"'));
      at = behind;
    } else {
      const next = text.indexOf(separator, at);
      const end = next === -1 ? text.length : next;
      cells.push(text.slice(at, end));
      at = end;
    }
    if (at >= text.length) return { cells };
    at += 1;
  }
}

const unquoted = (cell: string): string => cell.trim().replace(/^"(.*)"$/, '$1');

/** `Time (s) I (A)` is two headings: a bracket belongs to what stands before it. */
function unitsJoined(words: readonly string[]): string[] {
  const joined: string[] = [];
  for (const word of words) {
    const before = joined.at(-1);
    if (before !== undefined && /^[([]/.test(word)) joined[joined.length - 1] = `${before} ${word}`;
    else joined.push(word);
  }
  return joined;
}
