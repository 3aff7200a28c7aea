export { type LeastSquaresFit, type LeastSquaresProblem, leastSquares } from './least-squares.js';
export { fitLinear, type LinearFit, predictLinear } from './linear-fit.js';
export { fitStatic, type StaticFit, type StaticFitOptions, type SteadyPoint } from './static-fit.js';
