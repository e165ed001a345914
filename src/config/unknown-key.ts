import { suggest } from './suggest.ts';

/** Endings by which the keys of our files name a unit, longest first where one ends in another. */
const UNITS = [
  'Nm_s2_per_rad2',
  'Nm_s_per_rad',
  'bar_per_1000rpm',
  'N_per_kmh2',
  'N_per_kmh',
  'MJ_per_kg',
  'kg_per_L',
  'm_per_s2',
  'kg_m2',
  'g_per_L',
  'pct',
  'kmh',
  'rpm',
  'kPa',
  'bar',
  'm2',
  'kJ',
  'kW',
  'kg',
  'mm',
  'Nm',
  'Pa',
  'C',
  'L',
  'N',
  'W',
  'g',
  'm',
  's',
];

/** The unit that a key of our files ends in; undefined for one without. */
export function unitAtEnd(key: string): string | undefined {
  return UNITS.find((ending) => key.endsWith(`_${ending}`));
}

/**
 * The key that was meant by an unknown one: one of the same name with another unit, or with none,
 * before one that is merely spelt alike.
 *
 * @param key as it stands in the file
 * @param known the keys that its object may have
 * @returns the key and a hint, or undefined where none is near
 */
export function keyMeant(
  key: string,
  known: readonly string[],
): { readonly key: string; readonly hint: string } | undefined {
  for (const candidate of known) {
    const unit = unitAtEnd(candidate);
    if (unit === undefined) continue;
    const stem = candidate.slice(0, -unit.length - 1);
    if (key === stem || key.startsWith(`${stem}_`)) {
      return {
        key: candidate,
        hint: `did you mean \`${candidate}\`? its unit stands at the end of the key; convert the value to it`,
      };
    }
  }
  const near = suggest(key, known);
  return near === undefined ? undefined : { key: near, hint: `did you mean \`${near}\`?` };
}
