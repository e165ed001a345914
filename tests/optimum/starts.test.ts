import { describe, expect, it } from 'vitest';
import { leastOfStarts } from '../../src/optimum/starts.ts';

/** Fuel for each joule, in what follows. */
const PRICE = 2.5;

/** Laps whose fuel is a function of their start, and the starts that were looked at. */
function lookedAt(fuel: (energy: number) => number, top: number, fullest = top) {
  const looked: number[] = [];
  const best = leastOfStarts(100, top, PRICE, (energy) => {
    looked.push(energy);
    const start = Math.min(energy, fullest);
    return { energy: start, fuel: fuel(start) };
  });
  return { looked, best };
}

describe('the start of a lap', () => {
  // Drag makes a fuller store dearer by 0.2 J/J; one that is too empty lacks what the road would use.
  const dragged = (energy: number) => 2000 + 0.2 * energy + 2 * Math.max(0, 230 - energy);

  it('is found where a fuller one only drags and an emptier one lacks something', () => {
    const { best } = lookedAt(dragged, 600);
    expect(Math.abs(best.energy - 230)).toBeLessThan(0.02 * 500);
  });

  it('is found in a dip beside others, with no more looks than are counted here', () => {
    const dip = (energy: number) => dragged(energy) - (Math.abs(energy - 330) < 25 ? 60 : 0);
    const { best, looked } = lookedAt(dip, 600);
    expect(Math.abs(best.energy - 330)).toBeLessThan(25);
    expect(looked.length).toBeLessThanOrEqual(25);
  });

  it('is not looked for above one from which no lap comes back as full, but right up to it', () => {
    const { looked, best } = lookedAt((energy) => 2000 - energy, 10_000, 300);
    expect(best.energy).toBe(300);
    const failed = looked.filter((energy) => energy > 300);
    expect(failed.length).toBeGreaterThan(1);
    expect(Math.max(...looked)).toBe(failed[1]);
  });

  it('looks at no two starts that are the same but for a hundredth of the range', () => {
    const { looked } = lookedAt(() => 2000, 600);
    const closely = new Set(looked);
    const sorted = [...closely].sort((a, b) => a - b);
    for (let i = 1; i < sorted.length; i++) {
      expect(sorted[i]! - sorted[i - 1]!).toBeGreaterThan(0.004 * 500);
    }
  });
});
