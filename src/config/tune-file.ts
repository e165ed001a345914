import * as z from 'zod/mini';
import { carFile } from './car-file.ts';
import { cycleShares, limitedFigure, names } from './gates-file.ts';
import { described, label, preset, section, wholeFile, word } from './schema-parts.ts';
import { storeFile } from './store-file.ts';
import { strategyFile } from './strategy-file.ts';
import { CYCLE_FORMS, inlineCycle, PATH, parts } from './study-file.ts';

/** What a tune file says: numbers to be tuned, what for, and within which bounds. */

/** Figures that numbers can be tuned for, and whether more of it is better. */
export const OBJECTIVES = {
  saving_vs_stop_start_pct: 'more',
  saving_vs_baseline_pct: 'more',
  fuel_store_L_per_100km: 'less',
} as const;

const OBJECTIVE_NAMES = [
  'saving_vs_stop_start_pct',
  'saving_vs_baseline_pct',
  'fuel_store_L_per_100km',
] as const satisfies readonly (keyof typeof OBJECTIVES)[];

const MOST_NUMBERS = 40;
const MOST_EVALUATIONS = 1_000_000;
const MOST_SEED = 2 ** 32 - 1;

function part<File extends z.ZodMiniType>(kind: string, file: File) {
  const error = `the bare name of a shipped example, a path from this folder, or a whole ${kind} in braces`;
  return described(z.union([label(`The ${kind}: ${error}.`), file], { error }), error);
}

function whole(text: string, least: number, most: number) {
  const error = `a whole number from ${least} to ${most}`;
  return described(
    z.int({ error }).check(z.minimum(least, { error }), z.maximum(most, { error })),
    text,
  );
}

const bound = (text: string) => described(z.number({ error: 'a number' }), text);

const varied = section('A number that is tuned, and its bounds.', {
  path: label(`The ${PATH}`),
  from: bound('Lowest value that is tried'),
  to: bound('Highest value that is tried'),
  scale: preset(
    word(
      'Whether equal steps or equal ratios count the same; ratios where the bounds are of different orders of magnitude.',
      ['linear', 'logarithmic'],
    ),
    'linear',
  ),
});

const objective = section('What the numbers are tuned for.', {
  figure: word('Column of results: a saving, as high as can be, or the fuel, as low.', [
    ...OBJECTIVE_NAMES,
  ]),
  over: preset(
    word(
      'The mean over the cycles by their shares of the distance (of the fuel, from which the saving is worked out); or the cycle that does worst.',
      ['mean', 'worst'],
    ),
    'mean',
  ),
});

const constraint = section(
  'A condition that the tuned numbers have to hold, as a gate of `spinledger compare`.',
  {
    name: z.optional(label('What it is called in results; its figure if left out')),
    ...limitedFigure,
    of: preset(
      word(
        'The figure itself (after); or its change, or its change in %, against the numbers that the files have.',
        ['after', 'change', 'change_pct'],
      ),
      'after',
    ),
    over: preset(
      word('Every cycle; or the mean over the cycles by their shares.', ['each', 'mean']),
      'each',
    ),
    cases: z.optional(
      section('Which of the cycles it holds; all if left out.', { cycle: names('cycle') }),
    ),
  },
);

const varyError = `a list of 1 to ${MOST_NUMBERS} numbers with their bounds`;

export const tuneFile = wholeFile(
  'spinledger tune',
  'A tune: numbers of a car, a store or a strategy that are to be made the best for some cycles.',
  {
    name: label('Short name for results'),
    car: part('car', carFile),
    store: part('store', storeFile),
    strategy: part('strategy', strategyFile),
    cycles: parts('cycle', inlineCycle, CYCLE_FORMS),
    held_back: parts('cycle', inlineCycle, CYCLE_FORMS),
    cycle_shares: z.optional(cycleShares),
    vary: described(
      z
        .array(varied, { error: varyError })
        .check(
          z.minLength(1, { error: varyError }),
          z.maxLength(MOST_NUMBERS, { error: varyError }),
        ),
      'The numbers that are tuned.',
    ),
    objective: preset(objective, { figure: 'saving_vs_stop_start_pct', over: 'mean' }),
    constraints: preset(
      described(
        z.array(constraint, { error: 'a list of conditions' }),
        'Conditions that the tuned numbers have to hold.',
      ),
      [],
    ),
    budget: preset(
      section('How long is searched.', {
        evaluations: z.optional(
          whole(
            'Most sets of numbers that are tried, each on all cycles, with those of the files and those around the best; 200 for each number if left out',
            1,
            MOST_EVALUATIONS,
          ),
        ),
        seed: preset(whole('Which random numbers the search takes', 0, MOST_SEED), 1),
      }),
      { seed: 1 },
    ),
  },
);

/** A checked tune file, with the defaults of its keys filled in. */
export type TuneFile = z.output<typeof tuneFile>;
