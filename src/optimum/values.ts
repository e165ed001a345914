/** Between which x the nodes of each instant lie: index 0 to the number of stages. */
export interface Tube {
  readonly nodes: number;
  readonly low: Float64Array;
  readonly high: Float64Array;
  /**
   * Whether nothing below the low end is feasible. With the low end on the line from which the final
   * state can just be reached, every node is feasible, and no infinite cost is ever interpolated: the
   * boundary line of Sundström, Ambühl, Guzzella, "On implementation of dynamic programming for optimal
   * control problems with final state constraints", 2010 (from memory, not verified), here as the
   * edge of a grid that follows it. Without a wall the costs go on outside with the slope at the edge.
   */
  readonly wall: boolean;
}

/** The same ends at every instant. */
export function straightTube(low: number, high: number, nodes: number, stages: number): Tube {
  return {
    nodes,
    low: new Float64Array(stages + 1).fill(low),
    high: new Float64Array(stages + 1).fill(high),
    wall: false,
  };
}

/** How far below a wall x may lie and still be rounding, over the distance between two nodes. */
const WALL_SLACK = 1e-7;

/** Least cost to go at every instant, x and lane; lanes stand together. */
export class Values {
  readonly tube: Tube;
  private readonly lanes: number;
  private readonly costs: Float64Array;
  private readonly slopes: Float32Array;
  private readonly perX: Float64Array;
  private readonly place = new Float64Array(5);

  constructor({ count, lanes }: { readonly count: number; readonly lanes: number }, tube: Tube) {
    this.tube = tube;
    this.lanes = lanes;
    this.costs = new Float64Array((count + 1) * lanes * tube.nodes);
    this.slopes = new Float32Array(this.costs.length);
    this.perX = tube.low.map((low, k) => (tube.nodes - 1) / (tube.high[k]! - low));
  }

  /** x of a node. */
  node(instant: number, index: number): number {
    const { low, high, nodes } = this.tube;
    return low[instant]! + ((high[instant]! - low[instant]!) * index) / (nodes - 1);
  }

  /** Sets the costs of all lanes at a node. */
  set(instant: number, index: number, costs: Float64Array): void {
    this.costs.set(costs, (instant * this.tube.nodes + index) * this.lanes);
  }

  /** Least cost to go at an instant. */
  at(instant: number, lane: number, x: number): number {
    this.locate(instant, x, this.place);
    return this.read(instant, lane, this.place, 0);
  }

  /**
   * Finds where an x lies, for all lanes at once.
   * @param place takes the five numbers that `read` wants
   * @param from index of the first of them
   */
  locate(instant: number, x: number, place: Float64Array, from = 0): void {
    const { nodes, low, wall } = this.tube;
    const position = (x - low[instant]!) * this.perX[instant]!;
    let index = Math.floor(position);
    if (index < 0) index = 0;
    else if (index > nodes - 2) index = nodes - 2;
    const t = position - index;
    const u = 1 - t;
    place[from] = wall && position < -WALL_SLACK ? -1 : index;
    if (t < 0 || u < 0) {
      // Outside the nodes the edge's slope goes on.
      place[from + 1] = t < 0 ? 1 : 0;
      place[from + 2] = t < 0 ? 0 : 1;
      place[from + 3] = Math.min(t, 0);
      place[from + 4] = Math.max(t - 1, 0);
      return;
    }
    const rise = t * t * (3 - 2 * t);
    place[from + 1] = 1 - rise;
    place[from + 2] = rise;
    place[from + 3] = t * u * u;
    place[from + 4] = -t * t * u;
  }

  /** Least cost to go at an instant, in a lane, at a place found by `locate`. */
  read(instant: number, lane: number, place: Float64Array, from: number): number {
    const { costs, slopes, lanes } = this;
    const index = place[from]!;
    if (index < 0) return Number.POSITIVE_INFINITY;
    const a = (instant * this.tube.nodes + index) * lanes + lane;
    const b = a + lanes;
    return (
      place[from + 1]! * costs[a]! +
      place[from + 2]! * costs[b]! +
      place[from + 3]! * slopes[a]! +
      place[from + 4]! * slopes[b]!
    );
  }

  /**
   * Lowers each of several costs to that of a decision, where it is the cheaper: the cost itself and the
   * least cost to go, for lanes that follow one another.
   * @param instant
   * @param lane first of them
   * @param place found by `locate`
   * @param from index of its first number
   * @param more share of the next lane that comes in with each
   * @param cost of the decision
   * @param least costs that are lowered
   * @param first index of the first of them
   * @param last index of the last one
   */
  lower(
    instant: number,
    lane: number,
    place: Float64Array,
    from: number,
    more: number,
    cost: number,
    least: Float64Array,
    first: number,
    last: number,
  ): void {
    const { costs, slopes, lanes } = this;
    if (place[from]! < 0) return;
    const p = place[from + 1]!;
    const q = place[from + 2]!;
    const r = place[from + 3]!;
    const s = place[from + 4]!;
    let a = (instant * this.tube.nodes + place[from]!) * lanes + lane;
    let b = a + lanes;
    let toGo = p * costs[a]! + q * costs[b]! + r * slopes[a]! + s * slopes[b]!;
    for (let index = first; index <= last; index++) {
      a++;
      b++;
      let total = cost + toGo;
      if (more > 0 || index < last) {
        const beyond = p * costs[a]! + q * costs[b]! + r * slopes[a]! + s * slopes[b]!;
        total += more * (beyond - toGo);
        toGo = beyond;
      }
      if (total < least[index]!) least[index] = total;
    }
  }

  /**
   * Works out the slopes at the nodes of an instant, once its costs are set.
   * @param instant
   */
  join(instant: number): void {
    const { nodes } = this.tube;
    const { costs, slopes, lanes } = this;
    const edge = nodes - 1;
    for (let i = 0; i < nodes; i++) {
      const a = (instant * nodes + i) * lanes;
      for (let at = a; at < a + lanes; at++) {
        const before = i > 0 ? costs[at]! - costs[at - lanes]! : 0;
        const after = i < edge ? costs[at + lanes]! - costs[at]! : 0;
        if (i === 0) slopes[at] = after;
        else if (i === edge) slopes[at] = before;
        else slopes[at] = before * after > 0 ? (2 * before * after) / (before + after) : 0;
      }
    }
  }
}
