import { DefectError } from '../config/problem.ts';

/**
 * A document as JSON: two blanks of indent, one line end at the end, every number with the fewest
 * digits that read back as the same double.
 * @throws DefectError for a number that JSON has no form for: no result may hold one
 */
export function jsonText(document: unknown): string {
  const text = JSON.stringify(
    document,
    (key, value: unknown) => {
      if (typeof value === 'number' && !Number.isFinite(value)) {
        throw new DefectError(`the result \`${key}\` is ${value}`);
      }
      return value;
    },
    2,
  );
  return `${text}\n`;
}
