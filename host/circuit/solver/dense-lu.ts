// LU factorisation with row scaling and partial pivoting, kept as its non-zeros so that a solve costs what the
// sparsity leaves. Golub and Van Loan, Matrix Computations, 3.4.

export class LuFactors {
  constructor(
    readonly size: number,
    readonly permutation: Int32Array,
    readonly scale: Float64Array,
    readonly lowerStart: Int32Array,
    readonly lowerColumn: Int32Array,
    readonly lowerValue: Float64Array,
    readonly upperStart: Int32Array,
    readonly upperColumn: Int32Array,
    readonly upperValue: Float64Array,
    readonly inversePivot: Float64Array,
  ) {}

  /** Solves in place of `out` (slots 1..size) for `right`; the two must differ. */
  solve(right: Float64Array, out: Float64Array): void {
    const { size, permutation, scale, lowerStart, lowerColumn, lowerValue } = this;
    for (let i = 0; i < size; i++) {
      const row = permutation[i]!;
      let sum = right[row]! * scale[row]!;
      const end = lowerStart[i + 1]!;
      for (let k = lowerStart[i]!; k < end; k++) sum -= lowerValue[k]! * out[lowerColumn[k]!]!;
      out[i + 1] = sum;
    }
    const { upperStart, upperColumn, upperValue, inversePivot } = this;
    for (let i = size - 1; i >= 0; i--) {
      let sum = out[i + 1]!;
      const end = upperStart[i + 1]!;
      for (let k = upperStart[i]!; k < end; k++) sum -= upperValue[k]! * out[upperColumn[k]!]!;
      out[i + 1] = sum * inversePivot[i]!;
    }
  }
}

/**
 * Factorises rows and columns 1..length-1 of the row-major `matrix` (`length` wide), which is overwritten.
 * Returns the slot whose column has no pivot when the matrix is singular.
 */
export function factorise(matrix: Float64Array, length: number): LuFactors | number {
  const size = length - 1;
  const permutation = new Int32Array(size);
  const scale = new Float64Array(length);
  for (let i = 1; i < length; i++) {
    permutation[i - 1] = i;
    let largest = 0;
    for (let k = i * length + 1; k < (i + 1) * length; k++) {
      const magnitude = Math.abs(matrix[k]!);
      if (magnitude > largest || Number.isNaN(magnitude)) largest = magnitude;
    }
    if (!(largest > 0)) return i;
    const factor = 1 / largest;
    scale[i] = factor;
    for (let j = 1; j < length; j++) matrix[i * length + j]! *= factor;
  }
  const columns = new Int32Array(length);
  let lowerCount = 0;
  for (let k = 0; k < size; k++) {
    const column = k + 1;
    let best = -1;
    let largest = 1e-300;
    for (let i = k; i < size; i++) {
      const value = Math.abs(matrix[permutation[i]! * length + column]!);
      if (value > largest) {
        largest = value;
        best = i;
      }
    }
    if (best < 0) return column;
    const pivotRow = permutation[best]!;
    permutation[best] = permutation[k]!;
    permutation[k] = pivotRow;
    const pivotBase = pivotRow * length;
    const inverse = 1 / matrix[pivotBase + column]!;
    // A pivot row of a circuit holds a handful of entries: only their columns change in the rows below.
    let filled = 0;
    for (let j = column + 1; j < length; j++) if (matrix[pivotBase + j] !== 0) columns[filled++] = j;
    for (let i = k + 1; i < size; i++) {
      const base = permutation[i]! * length;
      const entry = matrix[base + column]!;
      if (entry === 0) continue;
      const factor = entry * inverse;
      matrix[base + column] = factor;
      lowerCount++;
      for (let t = 0; t < filled; t++) {
        const j = columns[t]!;
        matrix[base + j]! -= factor * matrix[pivotBase + j]!;
      }
    }
  }
  return compress(matrix, length, permutation, scale, lowerCount);
}

function compress(
  matrix: Float64Array,
  length: number,
  permutation: Int32Array,
  scale: Float64Array,
  lowerCount: number,
): LuFactors {
  const size = length - 1;
  const lowerStart = new Int32Array(size + 1);
  const lowerColumn = new Int32Array(lowerCount);
  const lowerValue = new Float64Array(lowerCount);
  const upperStart = new Int32Array(size + 1);
  const upperColumn = new Int32Array((size * (size - 1)) / 2);
  const upperValue = new Float64Array(upperColumn.length);
  let upper = 0;
  const inversePivot = new Float64Array(size);
  let lower = 0;
  for (let i = 0; i < size; i++) {
    const base = permutation[i]! * length;
    for (let j = 1; j <= i; j++) {
      const value = matrix[base + j]!;
      if (value === 0 || lower === lowerCount) continue;
      lowerColumn[lower] = j;
      lowerValue[lower++] = value;
    }
    lowerStart[i + 1] = lower;
    inversePivot[i] = 1 / matrix[base + i + 1]!;
    for (let j = i + 2; j < length; j++) {
      const value = matrix[base + j]!;
      if (value === 0) continue;
      upperColumn[upper] = j;
      upperValue[upper++] = value;
    }
    upperStart[i + 1] = upper;
  }
  return new LuFactors(
    size,
    permutation,
    scale,
    lowerStart,
    lowerColumn,
    lowerValue,
    upperStart,
    upperColumn.slice(0, upper),
    upperValue.slice(0, upper),
    inversePivot,
  );
}
