import { unitAtEnd } from '../config/unknown-key.ts';
import { printable } from './problems.ts';

/** Most digits of a varied number that people are shown. */
const DIGITS = 6;

/** A varied number for people; nothing where the file's own number serves. */
export function valueText(value: number | null): string {
  return value === null ? '' : String(Number(value.toPrecision(DIGITS)));
}

/** Units whose text is not that which stands in a key; those of several parts are left to the key. */
const UNIT_TEXTS: Readonly<Record<string, string>> = { pct: '%', kmh: 'km/h', C: '°C', m2: 'm²' };

/** A varied number with its unit, as far as the end of its path names one in a word. */
export function sizeText(path: string, value: number): string {
  const unit = unitAtEnd(path);
  if (unit === undefined || unit.includes('_')) return valueText(value);
  return `${valueText(value)} ${UNIT_TEXTS[unit] ?? unit}`;
}

/**
 * Paths of varied numbers, each as short as it can be told from the others:
 * `store.rotor.energy_at_max_kJ` is `energy_at_max_kJ`, but `car.mass_kg` beside `store.mass_kg`
 * stays as it is.
 */
export function shortNames(paths: readonly string[]): readonly string[] {
  const endings = paths.map((path) => {
    const keys = path.split('.');
    return keys.map((_, k) => keys.slice(keys.length - 1 - k).join('.'));
  });
  return endings.map((own, k) => {
    const others = endings.filter((_, other) => other !== k).flat();
    // A list entry's index says nothing by itself.
    const short = own.find((ending) => /^\D/.test(ending) && !others.includes(ending));
    return printable(short ?? paths[k]!);
  });
}

/** A text no longer than a width; what is left out of its middle is shown by dots. */
export function clipped(text: string, width: number): string {
  if (text.length <= width) return text;
  const tail = Math.floor((width - 1) / 2);
  return `${text.slice(0, width - 1 - tail)}…${text.slice(text.length - tail)}`;
}
