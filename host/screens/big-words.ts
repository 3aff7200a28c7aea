// Words large enough to be read from across the bench: five dots high, drawn in half blocks (three lines) or, where
// the terminal has plain ASCII only, in letters of their own (five lines). Letters drawn for this screen.

import { itemAt } from '../arrays/index.js';

const DOTS: Record<string, readonly string[]> = {
  A: [' ## ', '#  #', '####', '#  #', '#  #'],
  C: [' ###', '#   ', '#   ', '#   ', ' ###'],
  D: ['### ', '#  #', '#  #', '#  #', '### '],
  E: ['####', '#   ', '### ', '#   ', '####'],
  F: ['####', '#   ', '### ', '#   ', '#   '],
  G: [' ###', '#   ', '# ##', '#  #', ' ###'],
  H: ['#  #', '#  #', '####', '#  #', '#  #'],
  I: ['###', ' # ', ' # ', ' # ', '###'],
  J: ['  ##', '   #', '   #', '#  #', ' ## '],
  L: ['#   ', '#   ', '#   ', '#   ', '####'],
  N: ['#   #', '##  #', '# # #', '#  ##', '#   #'],
  O: [' ## ', '#  #', '#  #', '#  #', ' ## '],
  P: ['### ', '#  #', '### ', '#   ', '#   '],
  R: ['### ', '#  #', '### ', '# # ', '#  #'],
  S: [' ###', '#   ', ' ## ', '   #', '### '],
  T: ['#####', '  #  ', '  #  ', '  #  ', '  #  '],
  U: ['#  #', '#  #', '#  #', '#  #', ' ## '],
  V: ['#   #', '#   #', ' # # ', ' # # ', '  #  '],
  W: ['#   #', '#   #', '# # #', '# # #', ' # # '],
  Y: ['#   #', ' # # ', '  #  ', '  #  ', '  #  '],
  ' ': ['  ', '  ', '  ', '  ', '  '],
};

export const BIG_WORD_ROWS = { unicode: 3, ascii: 5 } as const;

/** Whether every letter of it is drawn. */
export const canDraw = (word: string): boolean => [...word].every((letter) => letter in DOTS);

/** Lines of equal length, without colour. Throws on a letter that is not drawn: the words are this program's own. */
export function bigWord(word: string, unicode: boolean): string[] {
  const rows = [0, 1, 2, 3, 4].map((row) =>
    [...word]
      .map((letter) => {
        const dots = DOTS[letter]?.[row];
        if (dots === undefined) throw new RangeError(`bigWord: letter ${letter} is not drawn`);
        return unicode ? dots : dots.replaceAll('#', letter);
      })
      .join(' '),
  );
  if (!unicode) return rows;
  return [0, 2, 4].map((row) => halves(itemAt(rows, row), rows[row + 1] ?? ''));
}

function halves(upper: string, lower: string): string {
  return [...upper]
    .map((dot, i) => (dot === '#' ? (lower[i] === '#' ? '█' : '▀') : lower[i] === '#' ? '▄' : ' '))
    .join('');
}
