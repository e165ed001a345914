/** What every reader of a predicted saving is told, in the few words that a terminal has room for. */
export const CAUTIONS: readonly string[] = [
  'These are estimates for engineering study, no certified consumption values.',
  'A fast rotor can burst, and recovery on one axle shifts the brake balance: both need proof by test and approval first.',
];
