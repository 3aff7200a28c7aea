// Orthogonal triangular form of a tall matrix by Householder reflections (Golub and Van Loan, Matrix Computations,
// 5.2): what both fits stand on. Normal equations would cost half of the digits.

/** A matrix by columns: entry (row, column) stands at column * rows + row. */
export interface ColumnMatrix {
  rows: number;
  columns: number;
  values: Float64Array;
}

export interface Triangular {
  size: number;
  /** Upper triangle by rows, size x size. */
  upper: Float64Array;
  /** First `size` entries of the turned right side. */
  right: Float64Array;
  /** Sum of squares of the right side that no column reaches. */
  restSquares: number;
}

/** Rows turned at once: short, so that a parameter of one throw costs nothing in the others. */
const BLOCK_ROWS = 400;

/** A column below this has died away; its square would leave the range of numbers. */
const VOID = 1e-150;

/**
 * Triangular form of `matrix` with `right`, both left as they are; needs rows >= columns. Taken block by block of rows
 * (Golub and Van Loan 5.1.10, the QR of stacked triangles), each by the columns alone that are not void in it.
 */
export function triangularise(matrix: ColumnMatrix, right: Float64Array): Triangular {
  const { rows, columns, values } = matrix;
  if (rows <= 2 * BLOCK_ROWS) return turned({ ...matrix, values: values.slice() }, right.slice());
  const parts: { places: number[]; triangle: Triangular }[] = [];
  let restSquares = 0;
  for (let from = 0; from < rows; from += BLOCK_ROWS) {
    const to = Math.min(rows, from + BLOCK_ROWS);
    const places: number[] = [];
    for (let j = 0; j < columns; j++) {
      if (!isVoid(values, j * rows + from, j * rows + to)) places.push(j);
    }
    const count = Math.max(to - from, places.length);
    const block = new Float64Array(count * places.length);
    places.forEach((j, n) => {
      block.set(values.subarray(j * rows + from, j * rows + to), n * count);
    });
    const blockRight = new Float64Array(count);
    blockRight.set(right.subarray(from, to));
    const triangle = turned({ rows: count, columns: places.length, values: block }, blockRight);
    restSquares += triangle.restSquares;
    parts.push({ places, triangle });
  }
  const height = Math.max(
    columns,
    parts.reduce((sum, { places }) => sum + places.length, 0),
  );
  const stacked = new Float64Array(height * columns);
  const stackedRight = new Float64Array(height);
  let at = 0;
  for (const { places, triangle } of parts) {
    const { size, upper } = triangle;
    for (let i = 0; i < size; i++)
      for (let j = i; j < size; j++) stacked[places[j]! * height + at + i] = upper[i * size + j]!;
    stackedRight.set(triangle.right, at);
    at += size;
  }
  const whole = turned({ rows: height, columns, values: stacked }, stackedRight);
  return { ...whole, restSquares: whole.restSquares + restSquares };
}

function isVoid(values: Float64Array, from: number, to: number): boolean {
  for (let i = from; i < to; i++) if (values[i] !== 0) return false;
  return true;
}

/** Turns `matrix` and `right`, both overwritten. */
function turned(matrix: ColumnMatrix, right: Float64Array): Triangular {
  const { rows, columns, values } = matrix;
  const upper = new Float64Array(columns * columns);
  for (let k = 0; k < columns; k++) {
    const at = k * rows;
    let squares = 0;
    for (let i = k; i < rows; i++) squares += values[at + i]! ** 2;
    const head = values[at + k]!;
    const norm = head > 0 ? -Math.sqrt(squares) : Math.sqrt(squares);
    upper[k * columns + k] = Math.abs(norm) < VOID ? 0 : norm;
    if (Math.abs(norm) < VOID) {
      for (let j = k + 1; j < columns; j++) upper[k * columns + j] = values[j * rows + k]!;
      continue;
    }
    values[at + k] = head - norm;
    const scale = 1 / (norm * (head - norm));
    for (let j = k + 1; j < columns; j++)
      upper[k * columns + j] = reflect(values, at, k, rows, scale, values, j * rows);
    reflect(values, at, k, rows, scale, right, 0);
  }
  let restSquares = 0;
  for (let i = columns; i < rows; i++) restSquares += right[i]! ** 2;
  return { size: columns, upper, right: right.slice(0, columns), restSquares };
}

/** Reflects one column; gives its entry in row k. */
function reflect(
  vector: Float64Array,
  at: number,
  k: number,
  rows: number,
  scale: number,
  target: Float64Array,
  targetAt: number,
): number {
  let dot = 0;
  for (let i = k; i < rows; i++) dot += vector[at + i]! * target[targetAt + i]!;
  dot *= scale;
  for (let i = k; i < rows; i++) target[targetAt + i]! += dot * vector[at + i]!;
  return target[targetAt + k]!;
}

/** Solves upper x = right; a column without weight gives 0. */
export function backSubstitute({ size, upper }: Triangular, right: ArrayLike<number>): Float64Array {
  const x = new Float64Array(size);
  for (let i = size - 1; i >= 0; i--) {
    let sum = right[i]!;
    for (let j = i + 1; j < size; j++) sum -= upper[i * size + j]! * x[j]!;
    const pivot = upper[i * size + i]!;
    x[i] = pivot === 0 ? 0 : sum / pivot;
  }
  return x;
}

/** Inverse of (upper^T upper), by rows: the covariance at unit residual deviation. Infinite where a column is void. */
export function inverseSquare(triangular: Triangular): Float64Array {
  const { size, upper } = triangular;
  const inverse = new Float64Array(size * size);
  for (let column = 0; column < size; column++) {
    const unit = new Float64Array(size);
    unit[column] = 1;
    const x = backSubstitute(triangular, unit);
    for (let i = 0; i < size; i++) inverse[i * size + column] = x[i]!;
  }
  const covariance = new Float64Array(size * size);
  for (let i = 0; i < size; i++) {
    for (let j = 0; j < size; j++) {
      let sum = 0;
      for (let k = Math.max(i, j); k < size; k++) sum += inverse[i * size + k]! * inverse[j * size + k]!;
      covariance[i * size + j] = sum;
    }
    if (upper[i * size + i] === 0) covariance[i * size + i] = Number.POSITIVE_INFINITY;
  }
  return covariance;
}
