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
 * The road's lanes: what the engine does, how long ago it started or stopped, and what the battery is
 * owed. The last two are quantities with a few nodes each; between these, costs are interpolated.
 *
 * The nodes of the debt move as it grows with the engine off, from each node to the next and so on for
 * ever; one stays at nothing. What is interpolated at every instant spreads, and most of a debt's time
 * is so taken from node to node with nothing to interpolate.
 */
export class Lanes {
  readonly count: number;
  /** Number of lanes for one debt, and of nodes of the debt */
  readonly kinds: number;
  readonly debtCount: number;
  /** What the last `findAge` and `findDebt` found */
  lane = 0;
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
    this.count = this.kinds * this.debtCount;
  }

  /** What the engine does in a lane. */
  engine(lane: number): number {
    const within = this.kindOf(lane);
    if (within < this.firstOf[ENGINE.idling]!) return ENGINE.off;
    return within < this.firstOf[ENGINE.inGear]! ? ENGINE.idling : ENGINE.inGear;
  }

  /** Number of the first engine and age of an engine; behind the last one, how many there are. */
  firstKind(engine: number): number {
    return engine < ENGINES ? this.firstOf[engine]! : this.kinds;
  }

  /** Time since its engine started or stopped [s]. */
  age(lane: number): number {
    const engine = this.engine(lane);
    const ages = this.ages[engine]!;
    const age = this.kindOf(lane) - this.firstOf[engine]!;
    return age === ages.length - 1 ? LONG_AGO : ages[age]!;
  }

  /** Number of engine and age of a lane; lanes that differ in debt alone stand together. */
  kindOf(lane: number): number {
    return Math.floor(lane / this.debtCount);
  }

  /** Index of a lane's debt among its nodes. */
  debtIndex(lane: number): number {
    return lane % this.debtCount;
  }

  /** What its battery is owed at an instant [J]. */
  debt(instant: number, lane: number): number {
    return this.node(instant, lane % this.debtCount);
  }

  private node(instant: number, index: number): number {
    return index === 0 ? 0 : this.shift[instant]! + (index - 1) * this.step;
  }

  /** Lane of the nearest lower age, whatever the battery is owed: tells states apart, not more. */
  kind(engine: number, age: number): number {
    return this.firstOf[engine]! + cell(this.ages[engine]!, age);
  }

  /** Lane of an engine that has just begun to idle, with nothing owed. */
  get startLane(): number {
    return this.kind(ENGINE.idling, 0) * this.debtCount;
  }

  /**
   * Finds the lanes round a state of the engine: leaves them in `lane`, the first of the lower age, and
   * in `older`, the share of those of the next age, which stand `debtCount` lanes on.
   */
  findAge(engine: number, age: number): void {
    const ages = this.ages[engine]!;
    const a = cell(ages, age);
    this.lane = (this.firstOf[engine]! + a) * this.debtCount;
    this.older = shareBehind(ages, a, age);
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
