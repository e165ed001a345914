import * as z from 'zod';
import { aboutTheFile, flag, label, percentage, quantity, section } from './quantity.ts';

/** What a strategy file says. Units stand at the end of the keys; nothing is converted here. */

const speed = (text: string) =>
  quantity(text, { min: 0, max: 400, unit: 'km/h', why: 'speeds of road vehicles' });

const power = (text: string) =>
  quantity(text, { min: 0, max: 1000, unit: 'kW', why: 'powers of road vehicles' });

const stopStart = section('Engine off while the car stands.', {
  delay_s: quantity('The car has stood this long before the engine stops', {
    min: 0,
    max: 600,
    unit: 's',
    why: 'a stop within one drive',
  }).default(0),
});

const recover = section('The store takes braking energy that the overrun of the engine leaves.', {
  share_pct: percentage('Share of what could be taken').default(100),
  min_power_kW: power('Braking below this power is left to the brakes').default(0.5),
});

const assist = section('The store helps the engine at launch and in acceleration.', {
  launch_below_kmh: speed('Below this speed every drive is a launch').default(30),
  acceleration_above_m_per_s2: quantity('Above this acceleration the store helps at any speed', {
    min: 0,
    max: 10,
    unit: 'm/s²',
    why: 'accelerations of cars',
  }).default(0.3),
  share_pct: percentage('Share of the demand at the wheels that the store gives').default(100),
  floor_pct: percentage('Share of the working range that is kept').default(2),
  cover_shortfall: flag(
    'The store also covers what the engine alone cannot give, down to the bottom of its range',
  ).default(true),
});

const keepOff = section('The engine stays off as long as the store can carry the car.', {
  stop_above_pct: percentage('A running engine is stopped above this share of the range').default(
    50,
  ),
  floor_pct: percentage('The engine restarts at this share of the range').default(5),
  max_power_kW: power('The engine restarts above this demand at the wheels').default(15),
});

const coast = section(
  'Engine off and declutched when the driver asks for no traction, until the store is empty.',
  {
    floor_pct: percentage('The engine takes over at this share of the range').default(5),
    max_speed_kmh: speed('Coasting begins only below this speed').default(140),
  },
);

const reserve = section('The engine charges the store under light load, for overtaking.', {
  target_pct: percentage('Share of the working range that is kept ready').default(50),
  charge_power_kW: power('Power at the wheels that charges').default(5),
  demand_below_kW: power('Charging only below this demand at the wheels').default(15),
  speed_above_kmh: speed('Charging only above this speed').default(30),
});

const plugin = section('A strategy of your own, in a JavaScript module.', {
  module: label('Path of the module from the folder of this file, as "./my-strategy.mjs"'),
  parameters: z
    .record(z.string(), z.json(), { error: 'an object in braces with what the module takes' })
    .describe('Handed to the module as they stand.')
    .default({}),
});

export const strategyFile = section('A strategy as spinledger reads it.', {
  ...aboutTheFile,
  name: label('Short name for results'),
  stop_start: stopStart.optional(),
  keep_off: keepOff.optional(),
  coast: coast.optional(),
  recover: recover.optional(),
  assist: assist.optional(),
  reserve: reserve.optional(),
  plugin: plugin.optional(),
}).meta({
  title: 'spinledger strategy',
  description:
    'A strategy: any of the behaviours, each with its parameters ({} takes the defaults), or a plug-in module alone.',
});

/** A checked strategy file, with the defaults of its keys filled in. */
export type StrategyFile = z.output<typeof strategyFile>;
