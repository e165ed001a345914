/**
 * Seeded uniform numbers in 0 … 1 (the 32-bit mixer known as mulberry32), so that a random test that
 * fails will fail again.
 */
export function seeded(seed: number): () => number {
  let state = seed >>> 0;
  return () => {
    state = (state + 0x6d2b79f5) >>> 0;
    let mixed = Math.imul(state ^ (state >>> 15), 1 | state);
    mixed = (mixed + Math.imul(mixed ^ (mixed >>> 7), 61 | mixed)) ^ mixed;
    return ((mixed ^ (mixed >>> 14)) >>> 0) / 2 ** 32;
  };
}

/** A uniform number between two bounds. */
export function between(random: () => number, low: number, high: number): number {
  return low + (high - low) * random();
}

/** One of several things, each as likely. */
export function oneOf<T>(random: () => number, things: readonly T[]): T {
  return things[Math.floor(random() * things.length)]!;
}
