import { GRAVITY } from '../physics/air.ts';
import {
  type DrivenAxle,
  fullLoadPull,
  newPull,
  type Pull,
  topSpeedOfGear,
  tractionLimit,
} from '../physics/full-load.ts';
import { inputSpeedRatio } from '../physics/gearbox.ts';
import { LIMIT } from '../physics/limit.ts';
import { aerodynamicPower, gradeForce, rollingPower } from '../physics/road-load.ts';
import {
  type Envelope,
  newEnvelope,
  type Store,
  storeEnvelope,
  type WheelCaps,
  wheelCaps,
} from '../physics/store.ts';
import type { Car } from './car.ts';
import { ENGINE_LIMIT } from './engine-limit.ts';

/** Forces are asked for at this speed where a car stands: a power at rest is none [m/s]. */
const JUST_MOVING = 1e-6;
/** The acceleration is found when it moves by less than this, over 1 m/s² and itself. */
const FOUND = 1e-13;
/** Two speeds this close are the same, over themselves. */
export const SAME = 1e-9;
/** Too short for the store's energy to matter [s]. */
const INSTANT = 1e-6;
/** Looks at the store before its force is held: a stepped one may leap between two ratios. */
const STORE_LOOKS = 8;
/** After so many Newton steps the range in which the answer lies is halved, so often. */
const NEWTON_LOOKS = 20;
const HALVINGS = 60;

/**
 * Balance of forces on a car at full load, for a short interval in which its speed is linear:
 *   (m + m_rot) a = F_engine + F_store − F_road,
 * all forces at the mean speed (implicit midpoint, second order). What the tyres pass on depends on
 * the acceleration by load transfer, and so does what the engine keeps for its own inertia.
 *
 * The engine gets the tyres first, the store what they leave, so that stored energy is not spent
 * where the engine alone reaches their limit. All that the store may do is what its envelope says.
 *
 * Nothing is allocated after construction. Results stand in the fields until the next call.
 */
export class SprintForces {
  /** [m/s²] */
  acceleration = 0;
  /** At the wheels [N] */
  engineForce = 0;
  storeForce = 0;
  aerodynamic = 0;
  rolling = 0;
  grade = 0;
  /** Index into ENGINE_LIMITS */
  engineLimit: number = ENGINE_LIMIT.fullLoad;
  readonly pull: Pull = newPull();
  /** What the store can do in the interval */
  readonly envelope: Envelope = newEnvelope();
  /** What turns and what moves [kg] */
  readonly inertia: number;

  private readonly car: Car;
  private readonly store: Store | undefined;
  private readonly adhesion: number;
  private readonly accessories: number;
  private readonly caps: WheelCaps = { recover: 0, recoverLimit: 0, assist: 0, assistLimit: 0 };
  private readonly probe: Envelope = newEnvelope();
  private excess = 0;
  private slope = 0;

  /**
   * @param car with the store's mass where one is fitted
   * @param store or none
   * @param adhesion μ of the tyres
   */
  constructor(car: Car, store: Store | undefined, adhesion: number) {
    this.car = car;
    this.store = store;
    this.adhesion = adhesion;
    this.accessories = car.electrics.load / car.electrics.alternatorEfficiency;
    this.inertia = car.mass + car.rotatingMass;
  }

  /**
   * Finds the acceleration of an interval.
   * @param speed at its start [m/s]
   * @param dt [s]
   * @param gear from 1
   * @param shifting whether the engine is out of gear
   * @param rotorSpeed of the store at its start [rad/s]
   * @param sine sin θ of the road
   */
  solve(
    speed: number,
    dt: number,
    gear: number,
    shifting: boolean,
    rotorSpeed: number,
    sine: number,
  ): void {
    let a = this.acceleration;
    let move = Number.POSITIVE_INFINITY;
    for (let k = 0; k < NEWTON_LOOKS && Math.abs(move) > FOUND * (1 + Math.abs(a)); k++) {
      this.weigh(speed, dt, gear, shifting, rotorSpeed, sine, a, k < STORE_LOOKS);
      move = this.excess / this.slope;
      a -= move;
    }
    if (Math.abs(move) > FOUND * (1 + Math.abs(a))) {
      this.halve(speed, dt, gear, shifting, rotorSpeed, sine);
    }
    this.acceleration = this.net() / this.inertia;
  }

  /**
   * Finds the acceleration where the tangents go round in circles, as they may for a car so high that
   * it lifts an axle: between coasting and all that tyres and store can do, the store's force held.
   */
  private halve(
    speed: number,
    dt: number,
    gear: number,
    shifting: boolean,
    rotorSpeed: number,
    sine: number,
  ): void {
    const road = Math.abs(this.aerodynamic) + Math.abs(this.rolling) + Math.abs(this.grade);
    const tyres = this.adhesion * this.car.mass * GRAVITY;
    let low = -road / this.inertia - 1;
    let high = (tyres + this.storeForce + road) / this.inertia + 1;
    for (let i = 0; i < HALVINGS; i++) {
      const middle = 0.5 * (low + high);
      this.weigh(speed, dt, gear, shifting, rotorSpeed, sine, middle, false);
      if (this.excess > 0) high = middle;
      else low = middle;
    }
  }

  /**
   * Holds the speed where the engine turns as fast as it may: engine first, then store, and no more
   * than the road asks for.
   */
  hold(speed: number, dt: number, gear: number, rotorSpeed: number, sine: number): void {
    this.weigh(speed, dt, gear, false, rotorSpeed, sine, 0, true);
    const road = this.aerodynamic + this.rolling + this.grade;
    this.engineForce = Math.min(this.engineForce, Math.max(road, 0));
    this.storeForce = Math.min(this.storeForce, Math.max(road - this.engineForce, 0));
    this.engineLimit = ENGINE_LIMIT.revLimit;
    this.acceleration = this.net() / this.inertia;
  }

  /** Pull of the engine alone in a gear at a steady speed [N]; 0 above the gear's top speed. */
  pullInGear(gear: number, speed: number): number {
    const { engine, gearbox, tyreRadius, sprint } = this.car;
    if (speed > topSpeedOfGear(engine, gearbox, tyreRadius, gear)) return 0;
    fullLoadPull(
      engine,
      gearbox,
      tyreRadius,
      this.accessories,
      sprint.launchSpeed,
      gear,
      speed,
      this.pull,
    );
    return this.pull.force;
  }

  /** The gear with the most pull at a speed, the lower of two alike. */
  gearOfMostPull(speed: number): number {
    let best = 1;
    let most = -1;
    for (let gear = 1; gear <= this.car.gearbox.ratios.length; gear++) {
      const force = this.pullInGear(gear, speed);
      if (force <= most) continue;
      most = force;
      best = gear;
    }
    return best;
  }

  /** Force of the road at a steady speed [N]. */
  road(speed: number, sine: number): number {
    const { roadLoad, mass } = this.car;
    const level = Math.sqrt(1 - sine * sine) * speed;
    return (
      (aerodynamicPower(roadLoad, speed, speed) + rollingPower(roadLoad, speed, speed, level)) /
        speed +
      gradeForce(mass, sine, GRAVITY)
    );
  }

  /**
   * Whether a store has, at an instant, less than the wheels would take from it, because it is empty
   * or out of its ratio range. What the wheels would take is that of the last balance.
   */
  storeIsSpent(store: Store, speed: number, rotorSpeed: number): boolean {
    const { caps, probe } = this;
    const axleSpeed = Math.max(speed, JUST_MOVING) / this.car.tyreRadius;
    storeEnvelope(store, rotorSpeed, axleSpeed, INSTANT, caps, caps.assist, probe);
    return probe.assistLimit === LIMIT.empty || probe.assistLimit === LIMIT.ratio;
  }

  private net(): number {
    return this.engineForce + this.storeForce - this.aerodynamic - this.rolling - this.grade;
  }

  /** Forces for an assumed acceleration, and by how much they miss it. */
  private weigh(
    speed: number,
    dt: number,
    gear: number,
    shifting: boolean,
    rotorSpeed: number,
    sine: number,
    a: number,
    looksAtStore: boolean,
  ): void {
    const { roadLoad, mass, engine, gearbox, tyreRadius, sprint, axles } = this.car;
    const end = Math.max(speed + a * dt, 0);
    const mean = Math.max(0.5 * (speed + end), JUST_MOVING);
    this.aerodynamic = aerodynamicPower(roadLoad, speed, end) / mean;
    this.rolling = rollingPower(roadLoad, speed, end, Math.sqrt(1 - sine * sine) * mean) / mean;
    this.grade = gradeForce(mass, sine, GRAVITY);

    fullLoadPull(
      engine,
      gearbox,
      tyreRadius,
      this.accessories,
      sprint.launchSpeed,
      gear,
      mean,
      this.pull,
    );
    const { pull } = this;
    // Told at the interval's start: the launch device neither closes nor opens within one.
    const input = inputSpeedRatio(gearbox, gear, tyreRadius) * speed;
    const slips = input < sprint.launchSpeed * (1 + (a < 0 ? SAME : -SAME));
    const inertia = slips ? 0 : pull.inertia;
    const capacity = this.capacity(sprint.driven, a, sine);
    const free = Math.max(pull.force - inertia * a, 0);
    this.slope = this.inertia;
    if (shifting) {
      this.engineForce = 0;
      this.engineLimit = ENGINE_LIMIT.gearChange;
    } else if (free > capacity) {
      this.engineForce = capacity;
      this.engineLimit = ENGINE_LIMIT.adhesion;
      this.slope -= this.capacity(sprint.driven, a + 1, sine) - capacity;
    } else {
      this.engineForce = free;
      this.engineLimit = slips ? ENGINE_LIMIT.launchSlip : ENGINE_LIMIT.fullLoad;
      if (free > 0) this.slope += inertia;
    }
    if (this.store !== undefined && looksAtStore) {
      const { store, caps, envelope } = this;
      wheelCaps(store, axles, mass, tyreRadius, mean, a, sine, store.powerLimit, caps);
      const tyres = this.leftForStore(store, capacity, a, sine) * mean;
      if (tyres < caps.assist) {
        caps.assist = tyres;
        caps.assistLimit = LIMIT.adhesion;
      }
      storeEnvelope(store, rotorSpeed, mean / tyreRadius, dt, caps, caps.assist, envelope);
      this.storeForce = envelope.assist / mean;
    }
    this.excess = this.inertia * a - this.net();
  }

  private capacity(driven: DrivenAxle, a: number, sine: number): number {
    return tractionLimit(this.car.axles, driven, this.adhesion, this.car.mass, a, sine);
  }

  /** What the tyres of the store's axle pass on besides the engine's force [N]. */
  private leftForStore(store: Store, driven: number, a: number, sine: number): number {
    const own = this.capacity(store.axle, a, sine);
    const axle = this.car.sprint.driven;
    if (axle === 'both') return Math.min(own, driven - this.engineForce);
    return axle === store.axle ? own - this.engineForce : own;
  }
}
