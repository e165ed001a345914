import type { Drive } from '../../src/cycle/drive.ts';

/** A logged drive from its columns; rows stand on lines 2, 3 … of a file with a header. */
export function logged(
  time: readonly number[],
  speed: readonly number[],
  more: {
    readonly altitude?: readonly number[];
    readonly grade?: readonly number[];
    readonly speedFrom?: Drive['speedFrom'];
  } = {},
): Drive {
  return {
    name: 'logged',
    time: Float64Array.from(time),
    speed: Float64Array.from(speed),
    speedFrom: more.speedFrom ?? 'column',
    ...(more.altitude && { altitude: Float64Array.from(more.altitude) }),
    ...(more.grade && { grade: Float64Array.from(more.grade) }),
    line: Uint32Array.from(time, (_, k) => k + 2),
  };
}

/** The whole seconds from 0 on, as many as there are speeds. */
export function seconds(count: number): number[] {
  return Array.from({ length: count }, (_, k) => k);
}
