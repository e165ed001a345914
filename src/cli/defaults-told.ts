import { EXAMPLE } from '../config/shipped.ts';
import { writeErr } from './streams.ts';

/**
 * Says which inputs of a case are not the user's own.
 * @param options as the user gave them
 * @param parts that come from the example set where they are left out
 */
export function tellDefaults<Part extends keyof typeof EXAMPLE>(
  options: { readonly [P in Part]?: string },
  parts: readonly Part[],
): void {
  const missing = parts.filter((part) => options[part] === undefined);
  if (missing.length === 0) return;
  const named = missing.map((part) => `${part} ${EXAMPLE[part]}`).join(', ');
  writeErr(`Taken from the shipped example, an invented scenario: ${named}.\n`);
}
