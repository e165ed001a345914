import type { LimitName } from '../physics/limit.ts';

/** What a limit is called in text for people; logs and results have its name. */
export const LIMIT_WORDS: { readonly [Name in LimitName]: string } = {
  '': 'no limit',
  engine_drag: 'taken by engine drag',
  hard_braking: 'hard braking',
  brake_share: 'brake share of the axle',
  adhesion: 'tyre adhesion',
  power: 'power limit',
  torque: 'axle torque limit',
  ratio: 'ratio range',
  full: 'store full',
  empty: 'store empty',
  spin_loss: 'less than the spin loss',
  strategy: "strategy's choice",
};
