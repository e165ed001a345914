import { changeUpSpeeds, topSpeedOfGear } from '../physics/full-load.ts';
import { inputSpeedRatio } from '../physics/gearbox.ts';
import type { Car } from './car.ts';
import { SAME, type SprintForces } from './sprint-forces.ts';

/** The gear of a driver in a hurry, and the speeds at which something about it changes. */
export class SprintGears {
  /** From 1 */
  gear: number;
  private readonly car: Car;
  private readonly top: Float64Array;
  private readonly changeUp: Float64Array;

  /**
   * @param car
   * @param forces of that car
   * @param sine sin θ of the road
   * @param speed in the gear with the most pull at this speed it begins [m/s]
   */
  constructor(car: Car, forces: SprintForces, sine: number, speed: number) {
    const { engine, gearbox, tyreRadius } = car;
    this.car = car;
    this.top = gearbox.ratios.map((_, index) =>
      topSpeedOfGear(engine, gearbox, tyreRadius, index + 1),
    );
    this.changeUp = changeUpSpeeds(
      (gear, at) => forces.pullInGear(gear, at),
      this.top,
      (at) => forces.road(at, sine),
    );
    this.gear = forces.gearOfMostPull(speed);
  }

  /** Gearbox input over speed in this gear [rad/s per m/s]. */
  get ratio(): number {
    return inputSpeedRatio(this.car.gearbox, this.gear, this.car.tyreRadius);
  }

  /** Whether the next gear's time has come. */
  isToBeLeft(speed: number): boolean {
    return speed >= this.changeUp[this.gear - 1]! * (1 - SAME);
  }

  /** Whether the engine turns as fast as it may. */
  isAtTop(speed: number): boolean {
    return speed >= this.top[this.gear - 1]! * (1 - SAME);
  }

  /**
   * The next speed at which the launch device closes, the gear is left or the engine is as fast as it
   * may be; for a car that slows down, that at which the launch device opens.
   * @param speed now [m/s]
   * @param slowing
   * @returns [m/s]
   */
  nextEvent(speed: number, slowing: boolean): number {
    const closing = this.car.sprint.launchSpeed / this.ratio;
    if (slowing) return speed > closing * (1 + SAME) ? closing : Number.NEGATIVE_INFINITY;
    const change = Math.min(this.changeUp[this.gear - 1]!, this.top[this.gear - 1]!);
    return speed < closing * (1 - SAME) ? Math.min(closing, change) : change;
  }
}
