// Text in lines of a width.

/** Lines of `columns` at most, broken between words; a longer word is broken where it must. */
export function wrapWords(text: string, columns: number): string[] {
  const lines: string[] = [];
  let line = '';
  for (let word of text.split(' ')) {
    while (word.length > columns) {
      if (line !== '') lines.push(line);
      line = '';
      lines.push(word.slice(0, columns));
      word = word.slice(columns);
    }
    if (line === '') line = word;
    else if (line.length + 1 + word.length <= columns) line += ` ${word}`;
    else {
      lines.push(line);
      line = word;
    }
  }
  return [...lines, line];
}
