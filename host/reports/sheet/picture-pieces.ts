// A picture on paper: as large as its place, on a page of its own where it could not be read there, or cut over several.

/** Units of a picture's letters on paper, in points each: below this 12 units are less than 6.5 points, and hard to read. */
const LEAST_SCALE = 0.54;
/** Of a page that a picture by itself takes, heading and caption off. */
const WHOLE = 0.93;
/** What both pieces show of the place where they meet, in units of the picture. */
const OVERLAP = 16;

/** Part of a picture, in its own units, and how wide it is set. */
export interface Piece {
  x: number;
  y: number;
  width: number;
  height: number;
  scale: number;
  /** `part 1 of 2`; empty where it is whole. */
  caption: string;
}

export interface PictureAsked {
  width: number;
  height: number;
  /** Heights at which nothing but wires is cut. */
  breaks: readonly number[];
  /** Of a page's height, where there is enough of it. */
  mostOfPage: number;
}

/** @param page its room in points */
export function piecesOf(
  { width, height, breaks, mostOfPage }: PictureAsked,
  page: { width: number; height: number },
): Piece[] {
  const fits = (part: number): number => Math.min(page.width / width, (part * page.height) / height);
  const whole = (scale: number): Piece[] => [{ x: 0, y: 0, width, height, scale, caption: '' }];
  if (fits(mostOfPage) >= LEAST_SCALE) return whole(fits(mostOfPage));
  if (fits(WHOLE) >= LEAST_SCALE) return whole(fits(WHOLE));
  const columns = stretches(width, page.width / LEAST_SCALE, []);
  const rows = stretches(height, (WHOLE * page.height) / LEAST_SCALE, breaks);
  const pieces = rows.flatMap((row) =>
    columns.map((column) => ({
      ...{ x: column.from, width: column.to - column.from },
      ...{ y: row.from, height: row.to - row.from },
    })),
  );
  return pieces.map((piece, i) => ({
    ...piece,
    scale: Math.min(page.width / piece.width, (WHOLE * page.height) / piece.height),
    caption: `part ${i + 1} of ${pieces.length}`,
  }));
}

/** Of a length, stretches no longer than `most`, met where a break lies in reach, else with an overlap. */
function stretches(length: number, most: number, breaks: readonly number[]): { from: number; to: number }[] {
  const count = Math.ceil(length / (most - OVERLAP));
  if (length <= most) return [{ from: 0, to: length }];
  const found: { from: number; to: number }[] = [];
  let from = 0;
  while (length - from > most) {
    const even = from + (length - from) / Math.max(2, count - found.length);
    const free = breaks.filter((at) => at > from + most / 4 && at <= from + most - OVERLAP);
    const cut = free.sort((a, b) => Math.abs(a - even) - Math.abs(b - even))[0] ?? from + most - OVERLAP;
    // Through wires alone little is needed to see where it goes on.
    const both = (free.includes(cut) ? OVERLAP / 2 : OVERLAP) / 2;
    found.push({ from, to: Math.min(length, cut + both) });
    from = cut - both;
  }
  return [...found, { from, to: length }];
}
