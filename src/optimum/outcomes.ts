/** What the decisions of an interval lead to, kept for the next lane if only the debt differs. */
export interface Outcomes {
  stage: number;
  kind: number;
  x: number;
  owing: number;
  count: number;
  readonly cost: Float64Array;
  readonly debtChange: Float64Array;
  /** First lane of its engine and age, and the share of the next age */
  readonly lane: Int32Array;
  readonly older: Float64Array;
  /** Five numbers each, of `Values.locate` */
  readonly place: Float64Array;
}

/** Outcomes with every field set. */
export function newOutcomes(most: number): Outcomes {
  return {
    stage: -1,
    kind: 0,
    x: 0,
    owing: 0,
    count: 0,
    cost: new Float64Array(most),
    debtChange: new Float64Array(most),
    lane: new Int32Array(most),
    older: new Float64Array(most),
    place: new Float64Array(5 * most),
  };
}
