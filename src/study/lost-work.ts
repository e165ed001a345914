import type { Problem } from '../config/problem.ts';
import { BEGIN_LIMIT } from './case-clock.ts';
import { endedEarly } from './disturbance.ts';

/**
 * What ended a worker: mostly a plug-in that ends the process.
 * @param message of the pool
 */
export function endOf(message: string): Problem {
  if (/exited with code/.test(message)) return endedEarly();
  return { ...endedEarly(), found: message };
}

/**
 * A case that is still at work when its time is over.
 * @param limit longest that it might take [s]
 * @param alone the same with a core to itself, as the user gave it [s]
 */
export function tooLong(limit: number, alone: number): Problem {
  const shared =
    limit === alone ? '' : `, which stand for ${alone} s where a case has a core to itself`;
  return {
    code: 'too-long',
    file: 'the case',
    found: `no result after ${Number(limit.toFixed(1))} s${shared}`,
    expected: 'a case that ends within `--time-limit`',
    hint: 'does a plug-in go round for ever? If the cycle is only long, allow more: `--time-limit SECONDS`',
  };
}

/** Workers that do not even begin: the machine is at its end, or a plug-in holds them. */
export function notBegun(): Problem {
  return {
    code: 'too-long',
    file: 'the workers',
    found: `none that began with a case within ${BEGIN_LIMIT} s`,
    expected: 'workers that load and begin',
    hint: 'is the machine busy with other work? Try fewer at a time: `--jobs N`. Or does a plug-in leave a timer behind that goes round for ever?',
  };
}
