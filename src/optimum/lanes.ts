import type { Electrics } from '../physics/electrics.ts';
import type { Restart } from '../physics/engine.ts';

/** The engine as far as it decides what may follow: off, idling, or turning with the gearbox. */
export const ENGINE = { off: 0, idling: 1, inGear: 2 } as const;
export const ENGINES = 3;

/** Most nodes for an engine that may not stop or start yet. */
const MOST_AGES = 2;

/** Steps of the debt up to its limit. */
const DEBTS = 40;

/** A debt this close to a node is there, over the distance between two nodes. */
const ON_NODE = 1e-7;

/** Time since start or stop of an engine that may do what it likes [s]. */
const LONG_AGO = 1e6;

/**
 * What the road's lanes tell apart: what the engine does and how long ago it started or stopped, which
 * together are its kind, and what the battery is owed. Ages and debts are quantities with a few nodes
 * each; between these, costs are interpolated.
 *
 * The nodes of the debt move as it grows with the engine off, from each node to the next and so on for
 * ever; one stays at nothing. What is interpolated at every instant spreads, and most of a debt's time
 * is so taken from node to node with nothing to interpolate.
 */
export class Lanes {
  /** Number of kinds, and of nodes of the debt */
  readonly kinds: number;
  readonly debtCount: number;
  /** Share of the next age that the last `findAge` found, and of the next debt of the last `findDebt` */
  older = 0;
  more = 0;

  private readonly ages: readonly Float64Array[];
  /** Distance between two nodes of the debt [J] */
  readonly step: number;
  /** Debt of the first node above nothing at each instant, above 0 and up to a step [J] */
  private readonly shift: Float64Array;
  private readonly firstOf: readonly number[];

  /**
   * @param restart minimum times of the engine
   * @param electrics limits of the debt
   * @param dt length of the trace's intervals [s]
   */
  constructor(restart: Restart, electrics: Electrics, dt: Float64Array) {
    const shortest = dt.reduce(
      (least, length) => Math.min(least, length),
      Number.POSITIVE_INFINITY,
    );
    const duration = dt.reduce((sum, length) => sum + length, 0);
    const off = ageNodes(restart.minimumOff, shortest);
    const on = ageNodes(restart.minimumOn, shortest);
    this.ages = [off, on, on];
    this.firstOf = [0, off.length, off.length + on.length];
    this.kinds = off.length + 2 * on.length;
    const { debtLimit, load, batteryEfficiency } = electrics;
    const most = (load * duration + restart.electricalEnergy * 2) / batteryEfficiency;
    this.step = debtLimit / DEBTS;
    this.debtCount = 2 + Math.min(Math.ceil(most / this.step), DEBTS);
    this.shift = new Float64Array(dt.length + 1).fill(this.step);
    for (let k = 0; k < dt.length; k++) {
      const grown = (this.shift[k]! + (load / batteryEfficiency) * dt[k]!) % this.step;
      this.shift[k + 1] = grown > ON_NODE * this.step ? grown : this.step;
    }
  }

  /** What the engine of a kind does. */
  engine(kind: number): number {
    if (kind < this.firstOf[ENGINE.idling]!) return ENGINE.off;
    return kind < this.firstOf[ENGINE.inGear]! ? ENGINE.idling : ENGINE.inGear;
  }

  /** The first kind of an engine; behind the last one, how many there are. */
  firstKind(engine: number): number {
    return engine < ENGINES ? this.firstOf[engine]! : this.kinds;
  }

  /** Time since the engine of a kind started or stopped [s]. */
  age(kind: number): number {
    const engine = this.engine(kind);
    const ages = this.ages[engine]!;
    const age = kind - this.firstOf[engine]!;
    return age === ages.length - 1 ? LONG_AGO : ages[age]!;
  }

  /** What the battery is owed at a node of an instant [J]. */
  debt(instant: number, index: number): number {
    return index === 0 ? 0 : this.shift[instant]! + (index - 1) * this.step;
  }

  /** Kind of an engine with the nearest lower age. */
  kind(engine: number, age: number): number {
    return this.firstOf[engine]! + cell(this.ages[engine]!, age);
  }

  /**
   * Finds the kinds round a state of the engine: leaves the share of the next one, which is older, in
   * `older`.
   * @returns the younger one
   */
  findAge(engine: number, age: number): number {
    const ages = this.ages[engine]!;
    const a = cell(ages, age);
    this.older = shareBehind(ages, a, age);
    return this.firstOf[engine]! + a;
  }

  /**
   * Finds a debt among some of its nodes: leaves the share of the next node in `more`. Outside them the
   * outermost two go on.
   * @param instant
   * @param debt [J]
   * @param low index of the first node that counts
   * @param high index of the last one
   * @returns index of the node below
   */
  findDebt(instant: number, debt: number, low: number, high: number): number {
    const shift = this.shift[instant]!;
    const position = (debt - shift) / this.step + ON_NODE;
    let d = position < 0 ? 0 : Math.floor(position) + 1;
    if (d < low) d = low;
    else if (d >= high) d = high - 1;
    const more = d === 0 ? debt / shift : position - d + 1;
    this.more = Math.abs(more) < 2 * ON_NODE ? 0 : more;
    return d;
  }

  /**
   * Finds where the nodes of an instant are once their debt has changed, among those of the next
   * instant: leaves the share of the node behind in `more`. It does not hold for the node at nothing.
   * @param instant
   * @param change of the debt [J]
   * @returns how many nodes further the node below is
   */
  move(instant: number, change: number): number {
    const nodes = (this.shift[instant]! + change - this.shift[instant + 1]!) / this.step + ON_NODE;
    const whole = Math.floor(nodes);
    const more = nodes - whole;
    this.more = more < 2 * ON_NODE ? 0 : more;
    return whole;
  }

  /** Index of the last node that is not above a debt, but never of the last of all. */
  debtBelow(instant: number, debt: number): number {
    return this.findDebt(instant, debt, 0, this.debtCount - 1);
  }
}

/** How far a value lies from a node towards the next, 0 to 1; 0 outside them all. */
function shareBehind(nodes: Float64Array, index: number, value: number): number {
  if (index === nodes.length - 1 || value < nodes[index]!) return 0;
  return (value - nodes[index]!) / (nodes[index + 1]! - nodes[index]!);
}

/** Index of the last node that is not above a value; the first for a value below them all. */
function cell(nodes: Float64Array, value: number): number {
  let i = nodes.length - 1;
  while (i > 0 && value < nodes[i]!) i--;
  return i;
}

/**
 * Ages from the shortest interval, the least there is, to the minimum time, beyond which all are alike.
 * Where the minimum is a few even intervals, these are all the ages there are.
 */
function ageNodes(minimum: number, shortest: number): Float64Array {
  if (minimum <= shortest) return Float64Array.of(minimum);
  const steps = Math.min(Math.ceil((minimum - shortest) / shortest - 1e-9), MOST_AGES);
  return Float64Array.from(
    { length: steps + 1 },
    (_, i) => shortest + ((minimum - shortest) * i) / steps,
  );
}
