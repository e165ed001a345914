import type { Values } from './values.ts';

/**
 * Backward dynamic programming over one continuous quantity x (a stored energy, a stock of fish) and a
 * discrete part of the state, its lane: Bellman's recursion, with the least cost to go held at nodes of
 * x and joined between them by monotone cubics (Fritsch and Butland 1984, from memory: the harmonic mean
 * of the slopes on both sides). Straight lines would blur what is interpolated at every stage again.
 */
export interface Stages {
  readonly count: number;
  /** Discrete states */
  readonly lanes: number;
  /**
   * Works out the least cost from each lane, the cost to go with it.
   * @param stage from 0
   * @param x where it starts
   * @param values costs to go; those of the next stage are there
   * @param least result, one for each lane; of lanes that are not looked at, nothing is ever read
   */
  weigh(stage: number, x: number, values: Values, least: Float64Array): void;
}

/** Whoever is told of the decisions of a stage. */
export interface Taker {
  /**
   * @param total cost with the cost to go
   * @param decision its number, from 0
   */
  offer(total: number, decision: number): void;
}

/** The cheapest of several decisions; made once and used again. */
export class Choice implements Taker {
  /** Cost with the cost to go */
  total = Number.POSITIVE_INFINITY;
  decision = -1;

  clear(): void {
    this.total = Number.POSITIVE_INFINITY;
    this.decision = -1;
  }

  offer(total: number, decision: number): void {
    if (total < this.total) {
      this.total = total;
      this.decision = decision;
    }
  }
}

/**
 * Works out the least cost to go, backwards.
 * @param stages the problem
 * @param values result
 * @param final cost of ending at an x, whatever the lane
 * @param last instant at which the final cost stands; the end if left out
 * @param first instant down to which it is worked out; the start if left out
 */
export function solve(
  stages: Stages,
  values: Values,
  final: (x: number) => number,
  last: number = stages.count,
  first = 0,
): void {
  const { nodes } = values.tube;
  const least = new Float64Array(stages.lanes);
  for (let index = 0; index < nodes; index++) {
    values.set(last, index, least.fill(final(values.node(last, index))));
  }
  values.join(last);
  for (let stage = last - 1; stage >= first; stage--) {
    for (let index = 0; index < nodes; index++) {
      stages.weigh(stage, values.node(stage, index), values, least);
      values.set(stage, index, least);
    }
    values.join(stage);
  }
}
