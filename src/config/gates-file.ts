import * as z from 'zod/mini';
import { described, label, oneOrMore, preset, section, wholeFile, word } from './schema-parts.ts';

/** What a gates file says: the conditions that `compare` holds results against. */

/** The four parts of a case that a gate may name. */
export const CASE_PARTS = ['car', 'store', 'strategy', 'cycle'] as const;

const limit = (text: string) => described(z.number({ error: 'a number' }), text);

/** A name, or several: which parts of a kind a condition is about. */
export const names = (what: string) =>
  z.optional(
    oneOrMore(
      label('Name'),
      `Only cases of this ${what}, or of one of these.`,
      'a name or a list of names',
    ),
  );

const variedValues = oneOrMore(
  z.number({ error: 'a number' }),
  'Only cases in which this varied number has the value, or one of these.',
  'names under `car`, `store`, `strategy` or `cycle`; under the path of a varied number, as `store.power_limit_kW`, a number or a list of numbers',
);

const cases = described(
  z.catchall(
    z.object(
      {
        car: names('car'),
        store: names('store'),
        strategy: names('strategy'),
        cycle: names('cycle'),
      },
      {
        error:
          'an object in braces with `car`, `store`, `strategy`, `cycle` or the paths of varied numbers',
      },
    ),
    variedValues,
  ),
  'Which cases the gate holds; all if left out. Beside the four parts, the path of a varied number.',
);

/** The figure that a condition is about, and its limits. */
export const limitedFigure = {
  figure: label(
    'Column of results.csv, as `saving_vs_stop_start_pct`; any `…_kJ` may be followed by `_per_km`',
  ),
  at_least: z.optional(limit('Holds from this value up.')),
  at_most: z.optional(limit('Holds up to this value.')),
  above: z.optional(limit('Holds above this value, not at it.')),
  below: z.optional(limit('Holds below this value, not at it.')),
};

const gate = section('A condition. One that has nothing to look at does not hold.', {
  name: label('What it is called in messages and in JUnit XML'),
  ...limitedFigure,
  of: preset(
    word(
      'The figure after; its change (after less before, percentage points for a figure in %); or its change in % of before.',
      ['after', 'change', 'change_pct'],
    ),
    'after',
  ),
  over: preset(
    word(
      'Every single case; or the mean over the cycles of each car, store, strategy and varied value.',
      ['each', 'mean'],
    ),
    'each',
  ),
  cases: z.optional(cases),
});

/** Shares of distance by the names of cycles. */
export const cycleShares = described(
  z.record(
    label('Name of a cycle'),
    z
      .number({ error: 'a share of 0 or more' })
      .check(z.minimum(0, { error: 'a share of 0 or more' })),
    { error: 'an object in braces: the name of a cycle and its share of the distance' },
  ),
  'Share of the distance that each cycle has in means. The shares need not add up to 1; without them all cycles have the same.',
);

const gatesError = 'a list of one gate or more';

export const gatesFile = wholeFile(
  'spinledger gates',
  'Gates: conditions that `spinledger compare` holds results against; status 3 if one does not hold.',
  {
    name: label('Short name for results'),
    cycle_shares: z.optional(cycleShares),
    gates: described(
      z.array(gate, { error: gatesError }).check(z.minLength(1, { error: gatesError })),
      'The gates, in the order in which they are reported.',
    ),
  },
);

/** A checked gates file, with the defaults of its keys filled in. */
export type GatesFile = z.output<typeof gatesFile>;
/** A gate as the file says it. */
export type Gate = GatesFile['gates'][number];
