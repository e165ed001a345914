import { InputError } from './problem.ts';
import { suggest } from './suggest.ts';

/**
 * The error for a bare name that stands for nothing.
 *
 * @param kind of thing that was meant
 * @param name as the user gave it
 * @param names of the things there are
 * @param form of the files that would do as well
 */
export function unknownName(
  kind: 'car' | 'store' | 'strategy' | 'cycle' | 'study' | 'gates',
  name: string,
  names: readonly string[],
  form: string,
): InputError {
  const near = suggest(name, names);
  return new InputError([
    {
      code: `unknown-${kind}`,
      file: name,
      found: `no ${kind} and no file of that name`,
      expected: `one of ${names.join(', ')}, or the path of a ${form} file`,
      ...(near === undefined ? {} : { hint: `did you mean \`${near}\`?` }),
    },
  ]);
}
