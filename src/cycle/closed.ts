import { SEAM_TOLERANCE } from './compose.ts';
import { altitudeChange, distance, type Trace } from './trace.ts';

/** What the altitudes at both ends of a lap may differ by, however short it is [m]. */
const ALTITUDE_TOLERANCE = 1;
/**
 * The same over the distance. A height of 2e-5 of the way is some 0.3 N of a car of 1500 kg on average,
 * below 0.1 % of what drives it.
 */
const ALTITUDE_SHARE = 2e-5;

/** Final less initial speed [m/s] of a trace. */
export function speedChange({ speed }: Trace): number {
  return speed[speed.length - 1]! - speed[0]!;
}

/**
 * Whether a trace ends as it began, so that it can be driven in laps: as fast, to 0.1 km/h, and as
 * high, to 1 m or 2e-5 of the distance if that is more. Own choice.
 */
export function isClosed(trace: Trace): boolean {
  const height = Math.max(ALTITUDE_TOLERANCE, ALTITUDE_SHARE * distance(trace));
  return (
    Math.abs(speedChange(trace)) <= SEAM_TOLERANCE * (1 + 1e-9) &&
    Math.abs(altitudeChange(trace)) <= height
  );
}
