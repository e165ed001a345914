import * as z from 'zod/mini';
import {
  described,
  flag,
  label,
  percentage,
  preset,
  quantity,
  section,
  wholeFile,
  word,
} from './schema-parts.ts';

/** What a strategy file says. Units stand at the end of the keys; nothing is converted here. */

const speed = (text: string) =>
  quantity(text, { min: 0, max: 400, unit: 'km/h', why: 'speeds of road vehicles' });

const power = (text: string) =>
  quantity(text, { min: 0, max: 1000, unit: 'kW', why: 'powers of road vehicles' });

const stopStart = section('Engine off while the car stands.', {
  delay_s: preset(
    quantity('The car has stood this long before the engine stops', {
      min: 0,
      max: 600,
      unit: 's',
      why: 'a stop within one drive',
    }),
    0,
  ),
});

const recover = section('The store takes braking energy that the overrun of the engine leaves.', {
  share_pct: preset(percentage('Share of what could be taken'), 100),
  min_power_kW: preset(power('Braking below this power is left to the brakes'), 0.5),
});

const assist = section('The store helps the engine at launch and in acceleration.', {
  launch_below_kmh: preset(speed('Below this speed every drive is a launch'), 30),
  acceleration_above_m_per_s2: preset(
    quantity('Above this acceleration the store helps at any speed', {
      min: 0,
      max: 10,
      unit: 'm/s²',
      why: 'accelerations of cars',
    }),
    0.3,
  ),
  share_pct: preset(percentage('Share of the demand at the wheels that the store gives'), 100),
  floor_pct: preset(percentage('Share of the working range that is kept'), 2),
  cover_shortfall: preset(
    flag(
      'The store also covers what the engine alone cannot give, down to the bottom of its range',
    ),
    true,
  ),
});

const keepOff = section('The engine stays off as long as the store can carry the car.', {
  stop_above_pct: preset(
    percentage('A running engine is stopped above this share of the range'),
    50,
  ),
  floor_pct: preset(percentage('The engine restarts at this share of the range'), 5),
  max_power_kW: preset(power('The engine restarts above this demand at the wheels'), 15),
});

const coast = section(
  'Engine off and declutched when the driver asks for no traction, until the store is empty.',
  {
    floor_pct: preset(percentage('The engine takes over at this share of the range'), 5),
    max_speed_kmh: preset(speed('Coasting begins only below this speed'), 140),
  },
);

const reserve = section('The engine charges the store under light load, for overtaking.', {
  target_pct: preset(percentage('Share of the working range that is kept ready'), 50),
  charge_power_kW: preset(power('Power at the wheels that charges'), 5),
  demand_below_kW: preset(power('Charging only below this demand at the wheels'), 15),
  speed_above_kmh: preset(speed('Charging only above this speed'), 30),
});

const horizon = (text: string) =>
  quantity(text, { min: 0.1, max: 600, unit: 's', why: 'from one interval to a long stop' });

/** A number that may be left to a search. */
const searchable = (number: z.ZodMiniNumber, expected: string, text: string) =>
  described(
    z.union([word('Searched for each cycle.', ['search']), number], {
      error: `${expected}, or "search"`,
    }),
    text,
  );

const leastCost = section(
  'In each interval, of all that could be done, what costs the least: fuel, stored energy at its worth in fuel, engine starts.',
  {
    factor: preset(
      searchable(
        quantity('Fuel that a joule in the store counts for, in J', {
          min: 0,
          max: 20,
          why: 'engines need 2 to 4 J of fuel for a joule; 0 empties the store, 20 hoards',
        }),
        'a number from 0 to 20 (J of fuel for each J in the store)',
        'J of fuel that each J in the store counts for, from 0 to 20; or "search": the factor with the least fuel on the cycle, found from 1.5 to 6 with the whole cycle known.',
      ),
      'search',
    ),
    feedback: z.optional(
      section('The factor falls as the store fills, so that it needs no knowledge of the road.', {
        target_pct: preset(
          percentage('Share of the working range at which `factor` stands as it is'),
          50,
        ),
        gain: preset(
          searchable(
            quantity('How much higher the factor is with an empty store than with a full one', {
              min: 0,
              max: 50,
              why: 'beyond that nothing but the stored energy would count',
            }),
            'a number from 0 to 50 (J of fuel for each J in the store)',
            'How much higher the factor is with an empty store than with a full one, from 0 to 50; or "search": found from 0 to 2 together with the factor.',
          ),
          1,
        ),
      }),
    ),
    start_price_kJ: preset(
      searchable(
        quantity(
          'Price of an engine start in fuel, beyond the fuel and electricity that it takes',
          {
            min: 0,
            max: 10_000,
            unit: 'kJ',
            why: 'a start takes some 20 kJ; a price of 10 000 kJ prevents nearly all',
          },
        ),
        'a number from 0 to 10000 (kJ of fuel)',
        'Price of an engine start in fuel, beyond the fuel and electricity that it takes. From 0 to 10000 kJ; or "search": found from 0 to 1000 kJ together with the factor.',
      ),
      0,
    ),
    start_horizon_s: preset(
      horizon('Time in which an engine that starts has to earn its start; the shorter, the fewer'),
      2,
    ),
    stop_horizon_s: preset(
      horizon(
        'Time in which an engine that stops has to earn its next start; the shorter, the fewer',
      ),
      15,
    ),
  },
);

const plugin = section('A strategy of your own, in a JavaScript module.', {
  module: label('Path of the module from the folder of this file, as "./my-strategy.mjs"'),
  parameters: preset(
    described(
      z.record(z.string(), z.unknown(), {
        error: 'an object in braces with what the module takes',
      }),
      'Handed to the module as they stand.',
    ),
    {},
  ),
});

export const strategyFile = wholeFile(
  'spinledger strategy',
  'A strategy: any of the behaviours, each with its parameters ({} takes the defaults), or the least cost or a plug-in module alone.',
  {
    name: label('Short name for results'),
    stop_start: z.optional(stopStart),
    keep_off: z.optional(keepOff),
    coast: z.optional(coast),
    recover: z.optional(recover),
    assist: z.optional(assist),
    reserve: z.optional(reserve),
    least_cost: z.optional(leastCost),
    plugin: z.optional(plugin),
  },
);

/** A checked strategy file, with the defaults of its keys filled in. */
export type StrategyFile = z.output<typeof strategyFile>;
