import type { Samples } from '../../src/cycle/samples.ts';

/** A random drive with stops, unevenly sampled; grade in tan θ and altitude fit for it. */
export interface RandomDrive {
  readonly time: Float64Array;
  readonly speed: Float64Array;
  readonly grade: Float64Array;
  readonly altitude: Float64Array;
}

/** A drive of 20 to 219 samples, 0 to 40 m/s, grades within 12 %, changing by 2 % a step at most. */
export function randomDrive(random: () => number): RandomDrive {
  const count = 20 + Math.floor(200 * random());
  const time = new Float64Array(count);
  const speed = new Float64Array(count);
  const grade = new Float64Array(count);
  const altitude = new Float64Array(count);
  time[0] = 1000 * random();
  speed[0] = 10;
  altitude[0] = 500 * random();
  for (let k = 1; k < count; k++) {
    time[k] = time[k - 1]! + 0.05 + 2 * random();
    speed[k] = random() < 0.2 ? 0 : 40 * random();
    grade[k] = Math.min(0.12, Math.max(-0.12, grade[k - 1]! + 0.04 * (random() - 0.5)));
    const distance = 0.5 * (speed[k - 1]! + speed[k]!) * (time[k]! - time[k - 1]!);
    altitude[k] = altitude[k - 1]! + 0.3 * (random() - 0.5) * distance;
  }
  return { time, speed, grade, altitude };
}

/** The three kinds of road under the same drive. */
export function roadsOf(drive: RandomDrive): Samples[] {
  const { time, speed, grade, altitude } = drive;
  return [
    { name: 'flat', time, speed },
    { name: 'grade', time, speed, road: { kind: 'grade', grade } },
    { name: 'altitude', time, speed, road: { kind: 'altitude', altitude } },
  ];
}
