/**
 * The dynamic programming of the bound on problems whose optimum is known without it. Status of each
 * figure:
 * - computed here: derived by hand, or from an elementary formula, outside the program.
 * - from memory: believed to stand in the source named; not looked up.
 */
import { describe, expect, it } from 'vitest';
import { Choice, type Stages, solve, type Taker } from '../../src/optimum/dynamic-programming.ts';
import { straightTube, type Tube, Values } from '../../src/optimum/values.ts';
import { expectWithin } from '../within.ts';

/** A problem with one continuous state and evenly spaced controls. */
interface Toy {
  readonly count: number;
  readonly controls: readonly number[];
  readonly next: (stage: number, x: number, u: number) => number;
  readonly cost: (stage: number, x: number, u: number) => number;
}

function offerAll(toy: Toy, stage: number, x: number, values: Values, taker: Taker): void {
  toy.controls.forEach((u, i) => {
    taker.offer(toy.cost(stage, x, u) + values.at(stage + 1, 0, toy.next(stage, x, u)), i);
  });
}

function stagesOf(toy: Toy): Stages {
  const choice = new Choice();
  return {
    count: toy.count,
    lanes: 1,
    weigh(stage, x, values, least) {
      choice.clear();
      offerAll(toy, stage, x, values, choice);
      least[0] = choice.total;
    },
  };
}

/** Solves a toy, and drives the decisions that are best by its costs to go. */
function solved(toy: Toy, tube: Tube, start: number, final: (x: number) => number = () => 0) {
  const stages = stagesOf(toy);
  const values = new Values(stages, tube);
  solve(stages, values, final);
  const choice = new Choice();
  let x = start;
  let cost = 0;
  for (let stage = 0; stage < toy.count; stage++) {
    choice.clear();
    offerAll(toy, stage, x, values, choice);
    const u = toy.controls[choice.decision]!;
    cost += toy.cost(stage, x, u);
    x = toy.next(stage, x, u);
  }
  return { values, cost, end: x };
}

function steps(low: number, high: number, count: number): number[] {
  return Array.from({ length: count + 1 }, (_, i) => low + ((high - low) * i) / count);
}

describe('the fishery problem', () => {
  // dx/dt = 0.02 (x − x²/1000) − u, x(0) = 250, 0 ≤ u ≤ 10, 200 time units, most harvest with
  // x(200) ≥ 750: the test problem of Sundström and Guzzella, "A generic dynamic programming Matlab
  // function", IEEE CCA 2009 (from memory). Optimum computed here: no harvest until x = 500 after
  // 50 ln 3, then u = 5, none for the last 50 ln 3: 1000 − 500 ln 3.
  const best = 1000 - 500 * Math.log(3);
  const count = 1000;
  const dt = 0.2;
  const grown = (x: number) => x + dt * 0.02 * (x - (x * x) / 1000);

  /** The stock from which 750 can just be reached, by the inverse of growth without harvest. */
  const boundaryLine = new Float64Array(count + 1);
  boundaryLine[count] = 750;
  for (let k = count - 1; k >= 0; k--) {
    const b = 1 + dt * 0.02;
    const a = (dt * 0.02) / 1000;
    boundaryLine[k] = (b - Math.sqrt(b * b - 4 * a * boundaryLine[k + 1]!)) / (2 * a);
  }

  const fished = (nodes: number, controls: number) =>
    solved(
      {
        count,
        controls: steps(0, 10, controls),
        next: (_stage, x, u) => grown(x) - dt * u,
        cost: (_stage, _x, u) => -dt * u,
      },
      { nodes, low: boundaryLine, high: new Float64Array(count + 1).fill(1000), wall: true },
      250,
    );

  it.each([
    [51, 50, 2e-4],
    [101, 100, 5e-5],
    [251, 200, 5e-5],
  ])('is solved with %d nodes and %d controls', (nodes, controls, tolerance) => {
    const { cost, end } = fished(nodes, controls);
    expect(-cost).toBeLessThanOrEqual(best + 1e-6);
    expectWithin(-cost, best, tolerance);
    expect(end).toBeGreaterThanOrEqual(750 - 1e-6);
  });

  it('loses nothing at the edge of what is feasible: a coarse grid does as well as a fine one', () => {
    expectWithin(fished(51, 100).cost, fished(401, 100).cost, 2e-4);
  });

  it('would lose harvest with a price in place of the boundary line', () => {
    const priced = solved(
      {
        count,
        controls: steps(0, 10, 100),
        next: (_stage, x, u) => grown(x) - dt * u,
        cost: (_stage, _x, u) => -dt * u,
      },
      straightTube(0, 1000, 51, count),
      250,
      (x) => 1000 * Math.max(0, 750 - x),
    );
    expect(-priced.cost).toBeLessThan(best * (1 - 5e-4));
  });
});

describe('linear-quadratic problems', () => {
  const regulated = (count: number) =>
    solved(
      {
        count,
        controls: steps(-1, 1, 800),
        next: (_stage, x, u) => x + u,
        cost: (_stage, x, u) => x * x + u * u,
      },
      straightTube(-2, 2, 401, count),
      1,
    );

  // x⁺ = x + u, Σ x² + u²: cost P x² with P ← 1 + P / (1 + P) from 0 (computed here).
  it.each([
    [1, 1],
    [2, 1.5],
    [3, 1.6],
    [4, 21 / 13],
  ])('cost what the Riccati recursion says over %d stages', (count, expected) => {
    const { cost, values } = regulated(count);
    expectWithin(cost, expected, 1e-4);
    expectWithin(values.at(0, 0, 1), expected, 1e-4);
  });

  it('tend to the golden ratio over many', () => {
    expectWithin(regulated(12).cost, (1 + Math.sqrt(5)) / 2, 1e-4);
  });

  it('split a way evenly: c²/N', () => {
    // Least Σ u² with x(N) ≥ c: u = c / N (computed here)
    const count = 10;
    const low = Float64Array.from({ length: count + 1 }, (_, k) => 1 - 0.5 * (count - k));
    const high = new Float64Array(count + 1).fill(1.5);
    const { cost, end } = solved(
      {
        count,
        controls: steps(0, 0.5, 250),
        next: (_stage, x, u) => x + u,
        cost: (_stage, _x, u) => u * u,
      },
      { nodes: 301, low, high, wall: true },
      0,
    );
    expectWithin(cost, 1 / count, 2e-3);
    expect(end).toBeGreaterThanOrEqual(1 - 1e-6);
  });
});

describe('a lossless store beside an engine with a convex fuel rate', () => {
  // Fuel 1 + 2 P + 0.05 P² (P in kW, each second), demand 10 and 30 kW in turns (computed here):
  // without a store 66 on average, with one 61 at a steady 20 kW and a co-state of 2 + 0.1 · 20 = 4;
  // with a store of 2.5 kW the engine gives 12.5 and 27.5 kW, 63.8125.
  const count = 40;
  const rate = (power: number) => 1 + 2 * power + 0.05 * power * power;
  const demand = (stage: number) => (stage % 2 === 0 ? 10 : 30);
  const stored = (limit: number) => {
    const low = Float64Array.from({ length: count + 1 }, (_, k) => 100 - limit * (count - k));
    return solved(
      {
        count,
        controls: steps(-limit, limit, 200),
        next: (_stage, x, u) => x - u,
        cost: (stage, _x, u) => rate(demand(stage) - u),
      },
      { nodes: 801, low, high: new Float64Array(count + 1).fill(600), wall: true },
      100,
    );
  };

  it('lets the engine give the mean of the demand', () => {
    const { cost, values } = stored(20);
    expectWithin(cost / count, 61, 1e-4);
    const slope = (values.at(0, 0, 104) - values.at(0, 0, 96)) / 8;
    expectWithin(slope, -4, 0.01);
  });

  it('goes as far as the power of the store allows', () => {
    expectWithin(stored(2.5).cost / count, 63.8125, 1e-4);
  });
});
