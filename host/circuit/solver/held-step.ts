// One accepted step and its dense output: the quadratic through its start, middle stage and end.
// Reading inside it never changes it, so the solver may look ahead and take back.

/** Stage position of TR-BDF2 with both stages on one matrix; Bank et al., IEEE Trans. CAD 4 (1985) 436. */
export const GAMMA = 2 - Math.SQRT2;

export class HeldStep {
  startS = 0;
  sizeS = 0;
  x0 = new Float64Array(0);
  xg = new Float64Array(0);
  x1 = new Float64Array(0);

  /** Makes room for `length` entries (slot 0 is ground and stays 0). */
  resize(length: number): void {
    this.x0 = new Float64Array(length);
    this.xg = new Float64Array(length);
    this.x1 = new Float64Array(length);
  }

  /** Unknown `index` at fraction `s` of the step. */
  value(index: number, s: number): number {
    const start = this.x0[index]!;
    const slope = (this.xg[index]! - start) / GAMMA;
    const bend = (this.x1[index]! - this.xg[index]!) / (1 - GAMMA) - slope;
    return start + s * (slope + (s - GAMMA) * bend);
  }

  /** All unknowns at fraction `s`, into `out`. */
  fill(out: Float64Array, s: number): void {
    const w0 = ((s - GAMMA) * (s - 1)) / GAMMA;
    const wg = (s * (s - 1)) / (GAMMA * (GAMMA - 1));
    const w1 = (s * (s - GAMMA)) / (1 - GAMMA);
    for (let i = 1; i < out.length; i++) out[i] = w0 * this.x0[i]! + wg * this.xg[i]! + w1 * this.x1[i]!;
  }

  /** Time integral of unknown `index` from the start to fraction `s`. */
  integral(index: number, s: number): number {
    const start = this.x0[index]!;
    const slope = (this.xg[index]! - start) / GAMMA;
    const bend = (this.x1[index]! - this.xg[index]!) / (1 - GAMMA) - slope;
    return this.sizeS * s * (start + s * (slope / 2 + bend * (s / 3 - GAMMA / 2)));
  }
}
