/** What is timed in a drive at full load: a speed [m/s] or a distance [m] from its start. */
export type SprintGoal =
  | { readonly speed: number; readonly distance?: never }
  | { readonly distance: number; readonly speed?: never };

/** A moment of a drive. */
export interface Passing {
  /** [s] */
  readonly time: number;
  /** [m/s] */
  readonly speed: number;
  /** [m] */
  readonly distance: number;
}

/** Which goals have been reached, and when. */
export class SprintGoals {
  /** One for each goal, in their order; undefined until it is reached */
  readonly passings: (Passing | undefined)[];
  private readonly goals: readonly SprintGoal[];

  constructor(goals: readonly SprintGoal[]) {
    this.goals = goals;
    this.passings = goals.map(() => undefined);
  }

  get allReached(): boolean {
    return this.passings.every((passing) => passing !== undefined);
  }

  /** Whether no distance is left to be reached, which any car gets to that keeps moving. */
  get allDistancesReached(): boolean {
    return this.goals.every(
      ({ distance }, i) => distance === undefined || this.passings[i] !== undefined,
    );
  }

  /**
   * Notes the goals that an interval of constant acceleration reaches for the first time.
   * @param from its start
   * @param acceleration [m/s²]
   * @param dt [s]
   */
  note(from: Passing, acceleration: number, dt: number): void {
    for (const [i, goal] of this.goals.entries()) {
      this.passings[i] ??= passingOf(goal, from, acceleration, dt);
    }
  }

  /**
   * When an interval reaches the last goal that is left.
   * @returns from the interval's start [s]; undefined where one is left after it
   */
  lastWithin(from: Passing, acceleration: number, dt: number): number | undefined {
    let last = 0;
    for (const [i, goal] of this.goals.entries()) {
      if (this.passings[i] !== undefined) continue;
      const passing = passingOf(goal, from, acceleration, dt);
      if (passing === undefined) return undefined;
      last = Math.max(last, passing.time - from.time);
    }
    return last;
  }
}

/** Distances and speeds this near to a goal have reached it, over the goal itself. */
const SAME = 1e-12;

function passingOf(
  goal: SprintGoal,
  from: Passing,
  acceleration: number,
  dt: number,
): Passing | undefined {
  if (goal.speed !== undefined) {
    const end = from.speed + acceleration * dt;
    if (end < goal.speed * (1 - SAME) || end <= from.speed) return undefined;
    const after = Math.max((goal.speed - from.speed) / acceleration, 0);
    const distance = from.distance + 0.5 * (from.speed + goal.speed) * after;
    return { time: from.time + after, speed: goal.speed, distance };
  }
  const left = goal.distance - from.distance;
  const gone = (from.speed + 0.5 * acceleration * dt) * dt;
  if (gone < left - goal.distance * SAME) return undefined;
  const speed = Math.sqrt(from.speed * from.speed + 2 * acceleration * left);
  const time = from.time + (2 * left) / (from.speed + speed);
  return { time, speed, distance: goal.distance };
}
