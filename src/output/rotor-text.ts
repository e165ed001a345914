import { fixed, rounded } from '../summary/numbers.ts';
import type { RotorSummary, SlipFree } from '../summary/rotor-summary.ts';
import type { Paint } from './paint.ts';
import { printable } from './problems.ts';
import {
  escaped,
  type Section,
  type SectionRow,
  sectionLines,
  sectionMarkdown,
} from './section.ts';
import { wrap } from './wrap.ts';

/** Columns of a terminal on which no line breaks. */
const WIDTH = 80;

/**
 * A rotor's figures for a terminal of 80 columns; the caution comes first.
 * @param summary
 * @param paint emphasis for the terminal, or none
 * @returns the text, with a line end after every line
 */
export function rotorTable(summary: RotorSummary, paint: Paint): string {
  const caution = wrap(`! ${summary.caution}`, WIDTH).map((text) => paint.warning(text));
  const head = [
    ...wrap(printable(titleOf(summary)), WIDTH).map((text) => paint.title(text)),
    ...wrap(burstWords(summary), WIDTH),
    paint.faint(signature(summary)),
  ];
  const sections = rotorSections(summary).map((section) => sectionLines(section, paint));
  const warnings = summary.warnings.flatMap((text) => {
    const [first, ...rest] = wrap(text, WIDTH, '  ');
    return [`! ${first?.trimStart() ?? ''}`, ...rest].map((line) => paint.warning(line));
  });
  const parts = [caution, head, ...sections, ...(warnings.length > 0 ? [warnings] : [])];
  return parts.map((lines) => lines.map((line) => `${line}\n`).join('')).join('\n');
}

/** The same as Markdown. */
export function rotorMarkdown(summary: RotorSummary): string {
  const parts = [
    `**${escaped(summary.caution)}**`,
    `## ${escaped(printable(titleOf(summary)))}`,
    `${escaped(burstWords(summary))} ${escaped(signature(summary))}.`,
    ...rotorSections(summary).map(sectionMarkdown),
    ...(summary.warnings.length > 0
      ? ['### Warnings', summary.warnings.map((text) => `- ${escaped(text)}`).join('\n')]
      : []),
  ];
  return `${parts.join('\n\n')}\n`;
}

function titleOf({ case: { rotor, car } }: RotorSummary): string {
  return `The rotor of ${rotor}, for ${car}`;
}

function signature({ case: { hash }, tool }: RotorSummary): string {
  return `${tool}, case ${hash}`;
}

/** What a burst sets free, in terms that need no schooling. */
function burstWords({ burst }: RotorSummary): string {
  return `A burst at its greatest speed sets ${rounded(burst.energy_kJ)} kJ free: as much as a car of ${rounded(burst.car_mass_kg)} kg at ${rounded(burst.as_car_at_kmh)} km/h, or one that has fallen ${rounded(burst.as_car_falling_m)} m.`;
}

function rotorSections(summary: RotorSummary): Section[] {
  const { rotor, stress, spin_down: spin, gyroscopic: gyro, ratio, windage } = summary;
  const row = (words: string, value: number | null): SectionRow => [words, figure(value)];
  return [
    {
      title: 'Rotor',
      columns: [''],
      rows: [
        row('inertia, kg m²', rotor.inertia_kg_m2),
        row('energy at its greatest speed, kJ', rotor.energy_at_max_kJ),
        row('of which usable, kJ', rotor.usable_energy_kJ),
        [
          'working range, 1/min',
          `${fixed(rotor.min_speed_rpm, 0)}–${fixed(rotor.max_speed_rpm, 0)}`,
        ],
        row(`mass as a ${shapeWords(summary)}, kg`, rotor.mass_kg),
        row('outer radius, mm', rotor.radius_m === null ? null : 1000 * rotor.radius_m),
        row('rim speed, m/s', rotor.rim_speed_m_per_s),
        row('Mach number in its air', rotor.mach),
      ],
    },
    {
      title: `Stress as a ${shapeWords(summary)}`,
      columns: [''],
      rows: [
        row('greatest hoop stress, MPa', stress.hoop_MPa),
        row('greatest radial stress, MPa', stress.radial_MPa),
        row('hoop stress, % of the strength', stress.hoop_of_strength_pct),
        row('speed at which it reaches it, 1/min', stress.limit_speed_rpm),
        row('energy density, Wh/kg', stress.energy_density_Wh_per_kg),
        row('limit K σ / ρ of it, Wh/kg', stress.energy_density_limit_Wh_per_kg),
      ],
      notes: [
        `${stress.material}: ${fixed(stress.density_kg_per_m3, 0)} kg/m³, ${fixed(stress.strength_MPa, 0)} MPa without any margin; K ${fixed(stress.shape_factor, 3)}.`,
      ],
    },
    {
      title: 'Left to itself',
      columns: [''],
      rows: [
        row('drag at its greatest speed, W', spin.drag_power_at_max_W),
        row('half of the energy gone after, s', spin.half_life_s),
        row('working range left after, s', spin.to_min_speed_s),
      ],
    },
    {
      title: 'On its bearings, axis across the motion',
      columns: [''],
      rows: [
        row(
          `torque at a yaw rate of ${fixed(gyro.yaw_rate_deg_per_s, 1)} °/s, N m`,
          gyro.yaw_torque_Nm,
        ),
        row(
          `torque at a roll rate of ${fixed(gyro.roll_rate_deg_per_s, 1)} °/s, N m`,
          gyro.roll_torque_Nm,
        ),
      ],
    },
    {
      title: 'Ratio, rotor over axle',
      columns: ['low', 'high', 'spread'],
      rows: [
        [
          `needed, ${fixed(ratio.from_speed_kmh, 0)} to ${fixed(ratio.to_speed_kmh, 0)} km/h`,
          ...range(ratio.needed_low, ratio.needed_high),
        ],
        [
          `  before the final drive of ${rounded(ratio.final_drive_ratio)}`,
          ...range(ratio.needed_low_at_final_drive, ratio.needed_high_at_final_drive),
        ],
        ['of the store', ...range(ratio.low, ratio.high)],
      ],
      notes: slipWords(ratio.full_without_slip, ratio.empty_without_slip),
    },
    ...(windage === null
      ? []
      : [
          {
            title: 'Windage at its greatest speed',
            columns: ['N m', 'W', 'Knudsen'],
            rows: windage.map(
              (point): SectionRow => [
                `${figure(point.pressure_Pa)} Pa, ${point.regime}`,
                point.torque_Nm.toPrecision(3),
                figure(point.power_W),
                point.knudsen.toPrecision(3),
              ],
            ),
          },
        ]),
  ];
}

function shapeWords({ rotor }: RotorSummary): string {
  if (rotor.shape === 'ring') return 'thin ring';
  if (rotor.shape === 'disc') return 'solid disc';
  return `disc with a bore of ${fixed(rotor.bore_ratio, 2)} R`;
}

function slipWords(full: SlipFree | null, empty: SlipFree | null): string[] {
  if (full === null || empty === null) return [];
  const span = ({ from_kmh: from, to_kmh: to }: SlipFree) =>
    `${fixed(from, 1)} to ${fixed(to, 1)} km/h`;
  return [
    `Without slip: full from ${span(full)}, empty from ${span(empty)}. Below, the clutch slips and only assist is possible; above, it slips and only recovery is.`,
  ];
}

/** Four digits, as people write them. */
function figure(value: number | null): string {
  if (value === null) return fixed(null, 0);
  const size = Math.abs(value);
  if (size >= 1000) return fixed(value, 0);
  return String(Number(value.toPrecision(4)));
}

function range(low: number | null, high: number | null): [string, string, string] {
  const spread = low === null || high === null ? null : high / low;
  return [figure(low), figure(high), figure(spread)];
}
