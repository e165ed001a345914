import type { Paint } from './paint.ts';
import { wrap } from './wrap.ts';

/**
 * Warnings for a terminal, each on lines of its own behind a `!`.
 * @param warnings sentences
 * @param width most columns of a line
 */
export function warningLines(warnings: readonly string[], paint: Paint, width: number): string[] {
  return warnings.flatMap((text) => {
    const [first = '', ...rest] = wrap(text, width, '  ');
    return [`!${first.slice(1)}`, ...rest].map(paint.warning);
  });
}
