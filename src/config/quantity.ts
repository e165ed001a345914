import * as z from 'zod';

/**
 * The words that the schemas of car, store and strategy files are made of. Every message is one of
 * our own: it says what is expected as a continuation of "expected", so that the problem made of it
 * needs no knowledge of the schema.
 */

/** What a number may be, and why no more and no less. */
export interface Range {
  readonly min: number;
  readonly max: number;
  /** Unit as printed; left out for a pure number. */
  readonly unit?: string;
  /** Why the range ends there, as in "rolling radii from a small car to a coach". */
  readonly why: string;
}

/**
 * A number with a range.
 *
 * @param text what it is, for editors
 * @param range both ends are permitted
 */
export function quantity(text: string, range: Range): z.ZodNumber {
  const span = `${range.min} to ${range.max}${range.unit === undefined ? '' : ` ${range.unit}`}`;
  const error = `a number from ${span} (${range.why})`;
  return z
    .number({ error })
    .min(range.min, { error })
    .max(range.max, { error })
    .describe(`${text}. From ${span}.`);
}

/**
 * A list of numbers that share a range.
 *
 * @param text what it is, for editors
 * @param length fewest and most entries
 * @param range of each entry
 */
export function quantities(
  text: string,
  length: { readonly least: number; readonly most: number },
  range: Range,
): z.ZodArray<z.ZodNumber> {
  const error = `a list of ${length.least} to ${length.most} numbers`;
  return z
    .array(quantity('Entry', range), { error })
    .min(length.least, { error })
    .max(length.most, { error })
    .describe(text);
}

/** Any share from 0 to 100 %. */
export function percentage(text: string): z.ZodNumber {
  return quantity(text, { min: 0, max: 100, unit: '%', why: 'a share of the whole' });
}

/**
 * An efficiency. One of 0 would make a loss infinite, and 1 is a part without loss.
 *
 * @param text what it is, for editors
 * @param min lowest that is still taken for a working part
 */
export function efficiency(text: string, min = 0.2): z.ZodNumber {
  return quantity(text, {
    min,
    max: 1,
    why: `below ${min} it is no working part, above 1 it would make energy; write 0.95 for 95 %`,
  });
}

/** A text that is not empty. */
export function label(text: string): z.ZodString {
  const error = 'a text in quotation marks, not empty';
  return z.string({ error }).min(1, { error }).describe(text);
}

/** True or false. */
export function flag(text: string): z.ZodBoolean {
  return z.boolean({ error: 'true or false, without quotation marks' }).describe(text);
}

/** One of a few words. */
export function word<const Words extends readonly [string, ...string[]]>(
  text: string,
  words: Words,
) {
  const error = `one of ${words.map((name) => `"${name}"`).join(', ')}`;
  return z.enum(words, { error }).describe(text);
}

/**
 * The tag that tells the forms of a thing apart, as in `"form": "physical"`.
 */
export function tag<const Word extends string>(value: Word) {
  return z.literal(value, { error: `"${value}"` });
}

/**
 * An object of known keys. For an unknown key the message is the list of the keys that are known,
 * from which a suggestion can be made.
 *
 * @param text what it is, for editors
 * @param shape its keys
 */
export function section<Shape extends z.ZodRawShape>(text: string, shape: Shape) {
  const keys = Object.keys(shape);
  return z
    .strictObject(shape, {
      error: (issue) =>
        issue.code === 'unrecognized_keys'
          ? keys.join(', ')
          : `an object in braces with ${keys.map((key) => `\`${key}\``).join(', ')}`,
    })
    .describe(text);
}

/** The keys of every file that say something about it and nothing to the simulation. */
export const aboutTheFile = {
  $schema: z
    .string({ error: 'the path or address of a JSON Schema, in quotation marks' })
    .optional()
    .describe('Path of the JSON Schema that editors check this file with. No effect on results.'),
  notes: z
    .string({ error: 'a text in quotation marks' })
    .optional()
    .describe('Remarks and sources, since JSON has no comments. No effect on results.'),
};
