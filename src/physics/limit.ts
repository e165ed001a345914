/**
 * Everything that can keep energy out of the store or hold it back there. Inside the time loop a
 * limit is its index in this list; in logs and results it is its name.
 */
export const LIMITS = [
  '',
  'engine_drag',
  'hard_braking',
  'brake_share',
  'adhesion',
  'power',
  'torque',
  'ratio',
  'full',
  'empty',
  'spin_loss',
  'strategy',
] as const;

/** Name of a limit; '' where none bites. */
export type LimitName = (typeof LIMITS)[number];

/** Index of each limit. */
export const LIMIT = {
  none: 0,
  engineDrag: 1,
  hardBraking: 2,
  brakeShare: 3,
  adhesion: 4,
  power: 5,
  torque: 6,
  ratio: 7,
  full: 8,
  empty: 9,
  spinLoss: 10,
  strategy: 11,
} as const;
