import type { Trace } from '../cycle/trace.ts';
import type { Problem } from './problem.ts';

/** So many parts of a log are listed with their times. */
const LISTED = 4;

/**
 * The problem of a log that is no one drive, with the way out that fits its cause.
 * @param file as the user gave it
 * @param traces of its parts, in file order
 */
export function severalParts(file: string, traces: readonly Pick<Trace, 'time'>[]): Problem {
  const times = traces
    .slice(0, LISTED)
    .map(({ time }) => `${seconds(time[0]!)} to ${seconds(time.at(-1)!)} s`);
  const more = traces.length > LISTED ? `, and ${traces.length - LISTED} more` : '';
  const setBack = traces.some(
    ({ time }, k) => k > 0 && time[0]! <= (traces[k - 1]!.time.at(-1) ?? 0),
  );
  return {
    code: 'several-parts',
    file,
    found: `${traces.length} parts: ${times.join(', ')}${more}`,
    expected: 'one part, since nothing is known of what the car did between two',
    hint: setBack
      ? 'the clock was set back, or ran over midnight without a date: take the parts apart with `spinledger cycle split`'
      : 'bridge longer gaps with `--bridge SECONDS`, or take the parts apart with `spinledger cycle split` or `spinledger cycle cut`',
  };
}

function seconds(time: number): string {
  return String(Number(time.toFixed(1)));
}
