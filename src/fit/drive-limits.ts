import { GRAM, KMH, PERCENT, RPM } from '../config/units.ts';
import type { ChannelName, DriveAgreement } from './drive-agreement.ts';

/** SI for each unit that a channel is told in. */
export const CHANNEL_UNITS: Readonly<Record<ChannelName, number>> = {
  speed: KMH,
  fuel: GRAM,
  rotor_speed: RPM,
};

type Figure = (agreement: DriveAgreement, shift: number) => number | undefined;

const ofChannel =
  (channel: ChannelName, of: 'rms' | 'bias'): Figure =>
  ({ channels }) => {
    const found = channels.find((one) => one.channel === channel);
    return found && found[of] / CHANNEL_UNITS[channel];
  };

/** Figures that a limit may be set for, in the units of their names. */
const FIGURES = {
  fuel_total_pct: ({ fuel }) =>
    fuel === undefined || fuel.measured === 0
      ? undefined
      : (fuel.simulated / fuel.measured - 1) / PERCENT,
  fuel_rms_g_per_s: ofChannel('fuel', 'rms'),
  fuel_bias_g_per_s: ofChannel('fuel', 'bias'),
  rotor_rms_rpm: ofChannel('rotor_speed', 'rms'),
  rotor_bias_rpm: ofChannel('rotor_speed', 'bias'),
  speed_rms_kmh: ofChannel('speed', 'rms'),
  engine_disagreement_pct: ({ engine }) => engine && (1 - engine.share) / PERCENT,
  starts_unmatched: ({ engine }) =>
    engine && engine.measuredStarts + engine.simulatedStarts - 2 * engine.matched,
  shift_s: (_, shift) => shift,
} as const satisfies Readonly<Record<string, Figure>>;

/** Name of a figure. */
export type FigureName = keyof typeof FIGURES;

/** All of them. */
export const FIGURE_NAMES = Object.keys(FIGURES) as readonly FigureName[];

/** A limit on the size of a figure. */
export interface DriveLimit {
  readonly figure: FigureName;
  readonly most: number;
}

/** A limit, and whether it holds. */
export interface Verdict extends DriveLimit {
  /** Undefined where the log has no such channel: then the limit does not hold */
  readonly value: number | undefined;
  readonly holds: boolean;
}

/**
 * The figures that limits are about, by name; undefined where the log has no such channel.
 * @param agreement
 * @param shift between the clocks [s]
 */
export function figuresOf(
  agreement: DriveAgreement,
  shift: number,
): Readonly<Record<FigureName, number | undefined>> {
  const entries = FIGURE_NAMES.map((name) => [name, FIGURES[name](agreement, shift)] as const);
  return Object.fromEntries(entries) as Record<FigureName, number | undefined>;
}

/** Holds figures against limits on their size. */
export function verdicts(
  figures: Readonly<Record<FigureName, number | undefined>>,
  limits: readonly DriveLimit[],
): Verdict[] {
  return limits.map((limit) => {
    const value = figures[limit.figure];
    return { ...limit, value, holds: value !== undefined && Math.abs(value) <= limit.most };
  });
}
