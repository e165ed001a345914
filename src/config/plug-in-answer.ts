import { newWant, type Want } from '../strategy/contract.ts';
import { shown } from './document.ts';
import type { Problem } from './problem.ts';
import { suggest } from './suggest.ts';

/** What is wrong with a decision, and how to mend it. */
export type AnswerFault = Pick<Problem, 'code' | 'found' | 'expected' | 'hint'>;

const WISHES: readonly string[] = Object.keys(newWant());
const NAMES = `${WISHES.slice(0, -1).join(', ')} and ${WISHES.at(-1)}`;

/**
 * What a plug-in has decided where nobody looks, so that it would be passed over in silence: wishes that
 * there are not, and what `decide` returns.
 * @param answer what `decide` returned
 * @param want that it wrote into
 * @returns undefined where there is nothing of the kind
 */
export function answerFault(answer: unknown, want: Want): AnswerFault | undefined {
  for (const name in want) {
    if (!WISHES.includes(name)) return unknownWish(name);
  }
  if (answer === undefined) return undefined;
  if (isPromise(answer)) {
    // What it is going to throw later would end the program as an unhandled rejection.
    answer.then(undefined, () => undefined);
    return {
      code: 'plug-in-async',
      found: 'a promise',
      expected: 'a decision at once, written into `want`',
      hint: 'decide must not be async',
    };
  }
  return {
    code: 'plug-in-returned',
    found: `a returned value of type ${answer === null ? 'null' : typeof answer}`,
    expected: `a decision written into \`want\`, as \`want.storePower = 5000\`; it has ${NAMES}`,
    hint: 'what decide returns is not read; where a short arrow function gives a value back, put its body in braces',
  };
}

function unknownWish(name: string): AnswerFault {
  const near = suggest(name, WISHES);
  return {
    code: 'plug-in-wish',
    found: `a wish ${shown(name)}`,
    expected: `no other names in \`want\` than ${NAMES}`,
    ...(near === undefined ? {} : { hint: `did you mean \`want.${near}\`?` }),
  };
}

/** Whether a value is to be waited for. */
export function isPromise(value: unknown): value is PromiseLike<unknown> {
  return typeof (value as PromiseLike<unknown> | null | undefined)?.then === 'function';
}
