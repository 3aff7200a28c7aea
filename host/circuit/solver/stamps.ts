// The linear system of one mode, E x' + A x = b, as elements write it. Modified nodal analysis after
// Ho, Ruehli, Brennan, IEEE Trans. CAS 22 (1975) 504. E is the same in every mode; rows may be constrained.

/** Conductance left across an open contact, a blocking diode and a blown fuse, S. Keeps parted pieces of the circuit
 * at a defined potential; 12 V drive 0.12 uA through it. Choice of this solver, no source. */
export const LEAK_S = 1e-8;

export class Stamps {
  readonly a: Float64Array;
  readonly b: Float64Array;
  /** 1 where the row holds without its derivative in this mode. */
  readonly algebraic: Uint8Array;
  readonly eRow: number[] = [];
  readonly eColumn: number[] = [];
  readonly eValue: number[] = [];

  constructor(readonly length: number) {
    this.a = new Float64Array(length * length);
    this.b = new Float64Array(length);
    this.algebraic = new Uint8Array(length).fill(1);
  }

  /** Adds to A. Ground's row and column are written but never solved. */
  add(row: number, column: number, value: number): void {
    this.a[row * this.length + column]! += value;
  }

  conductance(a: number, b: number, siemens: number): void {
    this.add(a, a, siemens);
    this.add(b, b, siemens);
    this.add(a, b, -siemens);
    this.add(b, a, -siemens);
  }

  /** Unknown `current` leaves node `a` and enters node `b`. */
  branch(a: number, b: number, current: number): void {
    this.add(a, current, 1);
    this.add(b, current, -1);
  }

  /** A fixed current from node `a` to node `b` through the element. */
  injection(a: number, b: number, currentA: number): void {
    this.b[a]! -= currentA;
    this.b[b]! += currentA;
  }

  /** Adds to E and makes the row differential. */
  derivative(row: number, column: number, value: number): void {
    if (column === 0) return;
    this.eRow.push(row);
    this.eColumn.push(column);
    this.eValue.push(value);
    this.algebraic[row] = 0;
  }

  /** Replaces differential row `row` by `unknown = value` in this mode. Call after the row's other stamps. */
  constrain(row: number, unknown: number, value: number): void {
    this.a.fill(0, row * this.length, (row + 1) * this.length);
    this.add(row, unknown, 1);
    this.b[row] = value;
    this.algebraic[row] = 1;
  }
}
