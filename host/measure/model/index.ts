export { fitMotor } from './fit-motor.js';
export { type LeastSquaresFit, type LeastSquaresProblem, leastSquares } from './least-squares.js';
export { fitLinear, type LinearFit, predictLinear } from './linear-fit.js';
export type { FitMotorOptions, MotorFit } from './motor-fit.js';
export type { ResidualTest } from './residual-test.js';
export { fitStatic, type StaticFit, type StaticFitOptions, type SteadyPoint } from './static-fit.js';
export { choppedLeads } from './told-columns.js';
