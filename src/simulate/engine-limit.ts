/** What holds the engine's pull at the wheels; inside the loop a limit is its index in this list. */
export const ENGINE_LIMITS = [
  'full_load',
  'launch_slip',
  'adhesion',
  'gear_change',
  'rev_limit',
] as const;

/** Name of what holds the engine's pull. */
export type EngineLimitName = (typeof ENGINE_LIMITS)[number];

/** Index of each. */
export const ENGINE_LIMIT = {
  fullLoad: 0,
  launchSlip: 1,
  adhesion: 2,
  gearChange: 3,
  revLimit: 4,
} as const;
