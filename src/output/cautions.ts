/** What every reader of a predicted saving is told, in the few words that a terminal has room for. */
export const CAUTIONS: readonly string[] = [
  'These are estimates for engineering study, no certified consumption values.',
  'A fast rotor can burst, and recovery on one axle shifts the brake balance: both need proof by test and approval first.',
];

/** What comes with a coastdown. */
export const COASTDOWN_CAUTIONS: readonly string[] = [
  'These are estimates for engineering study, no certified road load.',
  'A coastdown belongs on a test track: on a public road a car that slows down without brake lights endangers those behind it, and traffic law decides.',
];

/** What comes with a spin-down. */
export const SPINDOWN_CAUTIONS: readonly string[] = [
  'These are estimates for engineering study, and prove nothing about the rotor.',
  'A fast rotor can burst: spin it down only inside its containment, with nobody beside it, under the rules that apply and by people appointed to do so.',
];

/** What comes with any other fit. */
export const FIT_CAUTIONS: readonly string[] = [
  'These are estimates for engineering study, no certified consumption values.',
];
