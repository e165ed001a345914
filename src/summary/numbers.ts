/** A number with a fixed number of decimals for people, never `-0.0`; a dash where there is none. */
export function fixed(value: number | null, decimals: number): string {
  if (value === null) return '–';
  const text = value.toFixed(decimals);
  return Number(text) === 0 ? (0).toFixed(decimals) : text;
}

/** A number for a sentence, to three significant figures, without an exponent. */
export function rounded(value: number): string {
  const size = Math.abs(value);
  if (size >= 100) return fixed(value, 0);
  if (size >= 10) return fixed(value, 1);
  if (size >= 1) return fixed(value, 2);
  return size < 0.001 && size > 0 ? `${value < 0 ? '-' : ''}<0.001` : fixed(value, 3);
}
