import * as z from 'zod/mini';

// A schema compiles its parser on first use, which pays off after some thousand files; a run reads
// three and would only wait for it.
z.config({ jitless: true });

/**
 * The words that the schemas of car, store and strategy files are made of. Every message is one of
 * our own: it says what is expected as a continuation of "expected", so that the problem made of it
 * needs no knowledge of the schema.
 *
 * The small edition of zod is used since its larger one takes longer to load than a year of driving
 * takes to simulate.
 */

/** Gives a schema the text that editors show. */
export function described<Schema extends z.ZodMiniType>(
  schema: Schema,
  description: string,
): Schema {
  z.globalRegistry.add(schema, { ...z.globalRegistry.get(schema), description });
  return schema;
}

/** A key that may be left out, and what it then is. */
export function preset<Schema extends z.ZodMiniType>(schema: Schema, value: z.input<Schema>) {
  return z._default(schema, value as never);
}

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
export function quantity(text: string, range: Range): z.ZodMiniNumber {
  const span = `${range.min} to ${range.max}${range.unit === undefined ? '' : ` ${range.unit}`}`;
  const error = `a number from ${span} (${range.why})`;
  const number = z
    .number({ error })
    .check(z.minimum(range.min, { error }), z.maximum(range.max, { error }));
  return described(number, `${text}. From ${span}.`);
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
): z.ZodMiniArray<z.ZodMiniNumber> {
  const error = `a list of ${length.least} to ${length.most} numbers`;
  const list = z
    .array(quantity('Entry', range), { error })
    .check(z.minLength(length.least, { error }), z.maxLength(length.most, { error }));
  return described(list, text);
}

/** Any share from 0 to 100 %. */
export function percentage(text: string): z.ZodMiniNumber {
  return quantity(text, { min: 0, max: 100, unit: '%', why: 'a share of the whole' });
}

/**
 * An efficiency. One of 0 would make a loss infinite, and 1 is a part without loss.
 *
 * @param text what it is, for editors
 * @param min lowest that is still taken for a working part
 */
export function efficiency(text: string, min = 0.2): z.ZodMiniNumber {
  return quantity(text, {
    min,
    max: 1,
    why: `below ${min} it is no working part, above 1 it would make energy; write 0.95 for 95 %`,
  });
}

/** A text that is not empty. */
export function label(text: string): z.ZodMiniString {
  const error = 'a text in quotation marks, not empty';
  return described(z.string({ error }).check(z.minLength(1, { error })), text);
}

/**
 * One of a thing, or a list of at least one.
 *
 * @param one schema of the thing
 * @param text what it is, for editors
 * @param error what is expected
 */
export function oneOrMore<Schema extends z.ZodMiniType>(one: Schema, text: string, error: string) {
  return described(
    z.union([one, z.array(one, { error }).check(z.minLength(1, { error }))], { error }),
    text,
  );
}

/** True or false. */
export function flag(text: string): z.ZodMiniBoolean {
  return described(z.boolean({ error: 'true or false, without quotation marks' }), text);
}

/** One of a few words. */
export function word<const Words extends readonly [string, ...string[]]>(
  text: string,
  words: Words,
) {
  const error = `one of ${words.map((name) => `"${name}"`).join(', ')}`;
  return described(z.enum(words, { error }), text);
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
export function section<Shape extends z.core.$ZodLooseShape>(text: string, shape: Shape) {
  const keys = Object.keys(shape);
  const object = z.strictObject(shape, {
    error: (issue) =>
      issue.code === 'unrecognized_keys'
        ? keys.join(', ')
        : `an object in braces with ${keys.map((key) => `\`${key}\``).join(', ')}`,
  });
  return described(object, text);
}

/**
 * One of several objects, told apart by a tag.
 *
 * @param text what it is, for editors
 * @param key of the tag
 * @param forms as many sections, each with its tag under that key
 */
export function oneOf<
  const Forms extends readonly [z.core.$ZodTypeDiscriminable, ...z.core.$ZodTypeDiscriminable[]],
>(text: string, key: string, words: readonly string[], forms: Forms) {
  const error = `an object with ${words.map((word) => `"${key}": "${word}"`).join(' or ')}`;
  return described(z.discriminatedUnion(key, forms, { error }), text);
}

/** The keys of every file that say something about it and nothing to the simulation. */
const aboutTheFile = {
  $schema: z.optional(
    described(
      z.string({ error: 'the path or address of a JSON Schema, in quotation marks' }),
      'Path of the JSON Schema that editors check this file with. No effect on results.',
    ),
  ),
  notes: z.optional(
    described(
      z.string({ error: 'a text in quotation marks' }),
      'Remarks and sources, since JSON has no comments. No effect on results.',
    ),
  ),
};

/** A file: a section with a title for editors. */
export function wholeFile<Shape extends z.core.$ZodLooseShape>(
  title: string,
  text: string,
  shape: Shape,
) {
  const file = section(text, { ...aboutTheFile, ...shape });
  z.globalRegistry.add(file, { title, description: text });
  return file;
}
