// A byte order mark within a text is a character like any other; at its head the row reader drops it.
const decoder = new TextDecoder('utf-8', { ignoreBOM: true });
const encoder = new TextEncoder();

/** The characters of a piece of UTF-8; what is no UTF-8 becomes U+FFFD. */
export function decode(bytes: Uint8Array, start: number, end: number): string {
  return decoder.decode(bytes.subarray(start, end));
}

/** A text as UTF-8. */
export function encode(text: string): Uint8Array {
  return encoder.encode(text);
}

/** Pieces of a text or a file as bytes, whichever way a piece of text cuts a character. */
export class Utf8Pieces {
  #half = '';

  /** The bytes of a piece, so far as they are known; the rest comes with the next. */
  bytes(piece: Uint8Array | string): Uint8Array {
    if (typeof piece !== 'string') return piece;
    const text = this.#half + piece;
    const last = text.charCodeAt(text.length - 1);
    const cut = last >= 0xd800 && last <= 0xdbff ? text.length - 1 : text.length;
    this.#half = text.slice(cut);
    return encode(text.slice(0, cut));
  }
}
