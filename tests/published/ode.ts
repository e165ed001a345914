import { createRequire } from 'node:module';

/**
 * The part of the solver `odex` that is used: extrapolation after Gragg, Bulirsch and Stoer (Hairer,
 * Nørsett & Wanner, Solving Ordinary Differential Equations I), which shares nothing with the
 * project's own way through time. Required rather than imported, since the package carries its
 * source but no declarations.
 */
interface Solver {
  absoluteTolerance: number;
  relativeTolerance: number;
  maxSteps: number;
  solve(
    derivative: (x: number, y: number[]) => number[],
    from: number,
    start: readonly number[],
    to: number,
  ): { readonly y: number[]; readonly outcome: number };
}

const odex = createRequire(import.meta.url)('odex') as {
  Solver: new (dimension: number) => Solver;
  Outcome: { readonly Converged: number };
};

/**
 * Solves dy/dx = f(x, y).
 * @param derivative f
 * @param from first x
 * @param start y there
 * @param to last x; may lie before the first
 * @returns y at the last x, within about 1e-12 relative
 * @throws Error where the solver gives up
 */
export function solveOde(
  derivative: (x: number, y: readonly number[]) => number[],
  from: number,
  start: readonly number[],
  to: number,
): number[] {
  const solver = new odex.Solver(start.length);
  solver.relativeTolerance = 1e-12;
  solver.absoluteTolerance = 1e-12;
  solver.maxSteps = 100_000;
  const { y, outcome } = solver.solve(derivative, from, start, to);
  if (outcome !== odex.Outcome.Converged) throw new Error(`odex stopped with outcome ${outcome}`);
  return y;
}
