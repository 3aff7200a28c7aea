// A straight line by least squares, its points added one by one; a point that was lost counts for nothing.

/** Running means and sums (Welford), so that long stretches far from the origin lose no digits. */
export class RunningLine {
  n = 0;
  weights = 0;
  meanX = 0;
  meanY = 0;
  sxx = 0;
  sxy = 0;

  add(x: number, y: number, weight = 1): void {
    if (Number.isNaN(y)) return;
    this.n++;
    this.weights += weight;
    const dx = x - this.meanX;
    this.meanX += (weight * dx) / this.weights;
    this.meanY += (weight * (y - this.meanY)) / this.weights;
    this.sxx += weight * dx * (x - this.meanX);
    this.sxy += weight * dx * (y - this.meanY);
  }

  get slope(): number {
    return this.sxy / this.sxx;
  }
}
