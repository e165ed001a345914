/** Whether a spreadsheet would read a text as a number, and lose some of it: zeros, late digits, an `e`. */
export function isNumberLike(text: string): boolean {
  return /^(?:0\d+|\d{16,}|\d+e\d+)$/i.test(text);
}
