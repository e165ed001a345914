import { KMH } from '../config/units.ts';
import type { Trace } from '../cycle/trace.ts';
import { csvCell } from './csv-cell.ts';
import { heightsOf } from './cycle-heights.ts';

/** Characters that are gathered before they are written. */
const CHUNK = 1 << 16;
/** So many significant digits any decimal keeps on its way through a double. */
const SURE_DIGITS = 15;

/** What stands around the numbers of a cycle file. */
export interface PlainNotes {
  /** Comment lines above the header: where the cycle comes from, and what was done to it. */
  readonly comments: readonly string[];
  /** Altitude of the first sample [m]; if it is not known, heights count from the lowest point. */
  readonly startAltitude?: number | undefined;
}

/**
 * Writes a trace in the plain form, which every command drives as it stands: `time_s,speed_kmh`, and
 * `altitude_m` if the road climbs or falls anywhere.
 *
 * Times, and speeds that were read in km/h, read back the same to the last bit, other speeds within
 * the last bit. A slope that changes within an interval becomes an even one of the same height.
 *
 * @param trace the drive
 * @param notes comments, and where its heights begin
 * @param write takes the next piece of text
 */
export function writePlain(trace: Trace, notes: PlainNotes, write: (text: string) => void): void {
  const { time, speed } = trace;
  const heights = trace.climb.some((climb) => climb !== 0) ? plainHeights(trace, notes) : undefined;
  const fromLowest = heights !== undefined && notes.startAltitude === undefined;
  const comments = [...notes.comments, ...(fromLowest ? [FROM_LOWEST] : [])];
  let text = comments.map((comment) => `# ${oneLine(comment)}\n`).join('');
  text += heights === undefined ? 'time_s,speed_kmh\n' : 'time_s,speed_kmh,altitude_m\n';
  for (let k = 0; k < time.length; k++) {
    const row = `${csvCell(time[k]!)},${csvCell(inKmh(speed[k]!))}`;
    text += heights === undefined ? `${row}\n` : `${row},${csvCell(heights[k]!)}\n`;
    if (text.length < CHUNK) continue;
    write(text);
    text = '';
  }
  write(text);
}

const FROM_LOWEST = 'altitude_m counts from the lowest point of the cycle';

/** Where no altitude is known the lowest point is 0: a road may run deep below its start. */
function plainHeights(trace: Trace, { startAltitude }: PlainNotes): Float64Array {
  if (startAltitude !== undefined) return heightsOf(trace, startAltitude);
  const lowest = heightsOf(trace).reduce((low, height) => Math.min(low, height), 0);
  return heightsOf(trace, lowest < 0 ? -lowest : 0);
}

/** The number of km/h that is read back as this speed [m/s], of several the one with the fewest digits. */
function inKmh(speed: number): number {
  const near = speed / KMH;
  const short = Number(near.toPrecision(SURE_DIGITS));
  const candidates = [short, near, near * (1 + Number.EPSILON), near * (1 - Number.EPSILON)];
  return candidates.find((candidate) => candidate * KMH === speed) ?? near;
}

/** A comment must not spill into the table. */
function oneLine(comment: string): string {
  return comment.replace(/\s+/g, ' ').trim();
}
