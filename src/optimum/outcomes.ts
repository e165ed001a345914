/** What the decisions of an interval lead to, for lanes that differ in what the battery is owed alone. */
export interface Outcomes {
  stage: number;
  kind: number;
  x: number;
  /** Indices of the first and the last debt that they hold for */
  first: number;
  last: number;
  count: number;
  readonly cost: Float64Array;
  readonly debtChange: Float64Array;
  /** First lane of its engine and age, and the share of the next age */
  readonly lane: Int32Array;
  readonly older: Float64Array;
  /** Five numbers each, of `Values.locate` */
  readonly place: Float64Array;
  /** Least cost with the cost to go, for each debt */
  readonly least: Float64Array;
}

/** Outcomes with every field set. */
export function newOutcomes(most: number, debts: number): Outcomes {
  return {
    stage: -1,
    kind: 0,
    x: 0,
    first: 0,
    last: -1,
    count: 0,
    cost: new Float64Array(most),
    debtChange: new Float64Array(most),
    lane: new Int32Array(most),
    older: new Float64Array(most),
    place: new Float64Array(5 * most),
    least: new Float64Array(debts),
  };
}
