/**
 * Uniform random numbers that a seed decides: xoshiro128** (Blackman & Vigna 2018) whose state is
 * filled by splitmix32, both from memory, not verified against their publications. What is asked of
 * them here is that the same seed always gives the same numbers, on every machine.
 *
 * @param seed whole number from 0 to 2^32 − 1
 * @returns a function that gives the next number, at least 0 and less than 1
 */
export function randomNumbers(seed: number): () => number {
  let [a, b, c, d] = filled(seed);
  return () => {
    const result = Math.imul(rotated(Math.imul(b, 5), 7), 9) >>> 0;
    const shifted = b << 9;
    c ^= a;
    d ^= b;
    b ^= c;
    a ^= d;
    c ^= shifted;
    d = rotated(d, 11);
    return result / 2 ** 32;
  };
}

function rotated(bits: number, by: number): number {
  return (bits << by) | (bits >>> (32 - by));
}

function filled(seed: number): [number, number, number, number] {
  let state = seed | 0;
  const next = () => {
    state = (state + 0x9e3779b9) | 0;
    let mixed = state ^ (state >>> 16);
    mixed = Math.imul(mixed, 0x21f0aaad);
    mixed = Math.imul(mixed ^ (mixed >>> 15), 0x735a2d97);
    return mixed ^ (mixed >>> 15);
  };
  return [next(), next(), next(), next()];
}
