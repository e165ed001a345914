import * as z from 'zod/mini';
import { carFile } from './car-file.ts';
import {
  described,
  flag,
  label,
  oneOrMore,
  preset,
  quantity,
  section,
  wholeFile,
} from './schema-parts.ts';
import { storeFile } from './store-file.ts';
import { strategyFile } from './strategy-file.ts';

/** What a study file says: many cases in one text. */

/** Most values of one axis, and most samples of a cycle that stands in the study itself. */
const MOST_VALUES = 100_000;

export const PATH =
  'path of a number, its part first, as "store.power_limit_kW" or "car.gearbox.ratios.0"';

const number = (text: string) => described(z.number({ error: 'a number' }), text);

/** A list of numbers whose range depends on what they are for. */
function numbers(text: string, least: number, error: string) {
  const list = z
    .array(number('Entry'), { error })
    .check(z.minLength(least, { error }), z.maxLength(MOST_VALUES, { error }));
  return described(list, text);
}

/** A list of parts of one kind: named, or standing in the list as a whole. */
export function parts<File extends z.ZodMiniType>(kind: string, file: File, forms: string) {
  const error = `${forms}, or a whole ${kind} in braces`;
  return described(
    z.optional(
      z
        .array(z.union([label(`${forms}.`), file], { error }), { error: `a list of: ${error}` })
        .check(z.minLength(1, { error: `at least one ${kind}: ${error}` })),
    ),
    `Each entry is ${error}.`,
  );
}

const FILE_FORMS = 'the bare name of a shipped example, a path or a glob from this folder';

export const CYCLE_FORMS =
  'the name of a built-in cycle, a path or a glob from this folder, a composition as "2*udds + nycc"';

const SAMPLES = `a list of 2 to ${MOST_VALUES} numbers, one for each sample`;

export const inlineCycle = section('A cycle by its samples, linear in time between them.', {
  name: label('Short name for results'),
  time_s: numbers('Instants, rising', 2, SAMPLES),
  speed_kmh: numbers('Speed at each instant', 2, SAMPLES),
  altitude_m: z.optional(numbers('Altitude at each instant', 2, SAMPLES)),
  grade_pct: z.optional(
    numbers('Grade at each instant, height over horizontal distance', 2, SAMPLES),
  ),
});

const count = described(
  z
    .int({ error: `a whole number from 2 to ${MOST_VALUES}` })
    .check(
      z.minimum(2, { error: `a whole number from 2 to ${MOST_VALUES}` }),
      z.maximum(MOST_VALUES, { error: `a whole number from 2 to ${MOST_VALUES}` }),
    ),
  'How many values, both ends among them.',
);

const path = label(`The ${PATH}`);

const LIST = `a list of 1 to ${MOST_VALUES} numbers, or a \`range\` or \`logarithmic\` in its place`;

const axis = described(
  z.union(
    [
      section('The values of one number.', {
        path,
        list: numbers('Its values, in this order', 1, LIST),
      }),
      section('Values in equal steps.', {
        path,
        range: section('The k-th value is start + k · step, to 14 digits of the larger end.', {
          start: number('First value'),
          stop: number('Last value'),
          count,
        }),
      }),
      section('Values in equal ratios.', {
        path,
        logarithmic: section(
          'The k-th value is start · (stop / start)^(k / (count − 1)), to 14 digits.',
          {
            start: number('First value, not 0'),
            stop: number('Last value, of the same sign'),
            count,
          },
        ),
      }),
      section('Several numbers that vary together.', {
        pairs: label(
          'CSV file, path from the folder of this file: its header names paths, each row gives them values',
        ),
      }),
    ],
    {
      error:
        'an object with `path` and one of `list`, `range` and `logarithmic`, or with `pairs` alone',
    },
  ),
  'One axis of the product of cases.',
);

const part = (kind: string) =>
  z.optional(
    label(
      `Name of a ${kind} that the study lists, or what the list of its kind could name; may be left out where the study lists only one`,
    ),
  );

const listedCase = section('A case by itself.', {
  car: part('car'),
  store: part('store'),
  strategy: part('strategy'),
  cycle: part('cycle'),
  set: preset(
    described(
      z.record(z.string(), number('Value'), {
        error: 'an object in braces with paths and their numbers',
      }),
      `Numbers that differ from the files, each by the ${PATH}.`,
    ),
    {},
  ),
});

const names = (kind: string) =>
  z.optional(
    oneOrMore(
      label('Name'),
      `The ${kind}, or one of several, by the name it has in results.`,
      'a name, or a list of names',
    ),
  );

const bound = (text: string) => z.optional(number(text));

const condition = described(
  z.union(
    [
      number('Exactly this value, but for rounding'),
      section('A range of values.', {
        above: bound('More than this'),
        below: bound('Less than this'),
        at_least: bound('This or more'),
        at_most: bound('This or less'),
      }),
    ],
    {
      error:
        'a condition on the number at a path: a number, or an object with `above`, `below`, `at_least` or `at_most`; names stand under `car`, `store`, `strategy` or `cycle`',
    },
  ),
  `What the number at this path has to be.`,
);

const exclusion = described(
  z.catchall(
    z.object(
      {
        car: names('car'),
        store: names('store'),
        strategy: names('strategy'),
        cycle: names('cycle'),
      },
      { error: 'an object in braces with conditions on names or paths' },
    ),
    condition,
  ),
  `Combinations of the product that fulfil all of these conditions are left out. A condition is on a name, or on a number by the ${PATH}.`,
);

const share = quantity('Share of the distance', {
  min: 0,
  max: 1e9,
  why: 'shares need not add to 1: they are divided by their sum',
});

export const studyFile = wholeFile(
  'spinledger study',
  'A study: cars, stores, strategies and cycles, each with each, with any number varied; and cases by themselves.',
  {
    name: label('Short name for results'),
    cars: parts('car', carFile, FILE_FORMS),
    stores: parts('store', storeFile, FILE_FORMS),
    strategies: parts('strategy', strategyFile, FILE_FORMS),
    cycles: parts('cycle', inlineCycle, CYCLE_FORMS),
    vary: preset(
      described(
        z.array(axis, { error: 'a list of axes' }),
        'Numbers that are varied: each value of each axis with each of the others.',
      ),
      [],
    ),
    cases: preset(
      described(
        z.array(listedCase, { error: 'a list of cases' }),
        'Cases by themselves, besides the product of the lists or in its place.',
      ),
      [],
    ),
    exclude: preset(
      described(
        z.array(exclusion, { error: 'a list of exclusions' }),
        'Combinations of the product that are left out.',
      ),
      [],
    ),
    cycle_shares: z.optional(
      described(
        z.record(z.string(), share, {
          error: 'an object in braces with the names of cycles and their shares',
        }),
        'How much of the distance is driven as each cycle, for means over cycles.',
      ),
    ),
    outputs: preset(
      section('What is written besides the results.', {
        logs: preset(flag('A CSV log of every case'), false),
        explain: preset(flag('The way to the saving of every case, step by step'), false),
        bound: preset(
          flag('The least fuel that any strategy could reach in every case, which takes longer'),
          false,
        ),
      }),
      { logs: false, explain: false, bound: false },
    ),
  },
);

/** A checked study file, with the defaults of its keys filled in. */
export type StudyFile = z.output<typeof studyFile>;

/** A cycle that stands in the study itself. */
export type InlineCycle = z.output<typeof inlineCycle>;
