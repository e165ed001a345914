const DECIMAL = /^[+-]?(?:\d+\.?\d*|\.\d+)(?:[eE][+-]?\d+)?$/;

/**
 * Reads one decimal number and nothing else, for flags and table cells alike.
 *
 * Blanks around it, a sign and an exponent are accepted. Refused are an empty text, trailing
 * characters, `NaN`, `Infinity`, hexadecimal, a decimal comma, and what overflows a double:
 * `Number('')` is 0 and `parseFloat('12abc')` is 12, and neither is what the user wrote.
 *
 * @param text the user's characters
 * @returns the finite number, or undefined where the text is not one
 */
export function parseNumber(text: string): number | undefined {
  const trimmed = text.trim();
  if (!DECIMAL.test(trimmed)) return undefined;
  const value = Number(trimmed);
  return Number.isFinite(value) ? value : undefined;
}
