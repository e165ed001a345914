/**
 * The candidate that the user most likely meant, for a "did you mean".
 *
 * Letter case is ignored. A candidate is near when at most a third of its characters (of the
 * longer of both) differ; failing that, the first candidate that begins with what was typed serves,
 * so that `wltc` leads to `wltc-class3b`.
 *
 * @param name what the user typed
 * @param candidates what would have been right, in order of preference
 * @returns the nearest candidate, or undefined where none is near
 */
export function suggest(name: string, candidates: readonly string[]): string | undefined {
  const typed = name.trim().toLowerCase();
  if (typed === '') return undefined;
  let best: string | undefined;
  let bestDistance = Number.POSITIVE_INFINITY;
  for (const candidate of candidates) {
    const longer = Math.max(typed.length, candidate.length);
    const allowed = Math.floor(longer / 3);
    if (Math.abs(typed.length - candidate.length) > allowed) continue;
    const distance = editDistance(typed, candidate.toLowerCase());
    if (distance <= allowed && distance < bestDistance) {
      best = candidate;
      bestDistance = distance;
    }
  }
  return best ?? candidates.find((candidate) => candidate.toLowerCase().startsWith(typed));
}

/**
 * How many single-character edits (insert, delete, replace, or swap of two neighbours) turn one
 * text into the other.
 */
export function editDistance(a: string, b: string): number {
  // Three rows of the usual table: the row above serves inserts and replacements, the one above
  // that the swap of two neighbours.
  let twoAbove: number[] = [];
  let above = Array.from({ length: b.length + 1 }, (_, j) => j);
  for (let i = 1; i <= a.length; i++) {
    const row = [i];
    for (let j = 1; j <= b.length; j++) {
      const replace = above[j - 1]! + (a[i - 1] === b[j - 1] ? 0 : 1);
      let distance = Math.min(replace, above[j]! + 1, row[j - 1]! + 1);
      if (i > 1 && j > 1 && a[i - 1] === b[j - 2] && a[i - 2] === b[j - 1]) {
        distance = Math.min(distance, twoAbove[j - 2]! + 1);
      }
      row.push(distance);
    }
    twoAbove = above;
    above = row;
  }
  return above[b.length]!;
}
