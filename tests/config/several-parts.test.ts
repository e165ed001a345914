import { describe, expect, it } from 'vitest';
import { loadCycle } from '../../src/config/load-cycle.ts';
import { InputError, type Problem } from '../../src/config/problem.ts';
import { severalParts } from '../../src/config/several-parts.ts';

const part = (from: number, to: number) => ({ time: Float64Array.of(from, to) });

describe('a log in several parts', () => {
  it('lists their times, four at most', () => {
    const few = severalParts('log.csv', [part(0, 10), part(20.04, 30)]);
    expect(few.found).toBe('2 parts: 0 to 10 s, 20 to 30 s');
    const many = severalParts(
      'log.csv',
      Array.from({ length: 6 }, (_, k) => part(20 * k, 20 * k + 10)),
    );
    expect(many.found).toMatch(/^6 parts: .*60 to 70 s, and 2 more$/);
  });

  it('can have its gaps bridged, but not a clock that was set back', () => {
    expect(severalParts('log.csv', [part(0, 10), part(20, 30)]).hint).toContain('--bridge');
    const back = severalParts('log.csv', [part(0, 200), part(100, 160)]).hint;
    expect(back).toContain('clock was set back');
    expect(back).not.toContain('--bridge');
  });
});

describe('a composition of a standstill', () => {
  it('is refused, since nothing per distance has a meaning', async () => {
    await expect(loadCycle('udds[0..10]')).rejects.toMatchObject({
      problems: [{ code: 'never-moves', file: 'udds[0..10]' }],
    });
  });
});

describe('a composition without blanks', () => {
  it('is told how several cycles are put together', async () => {
    const problems: Problem[] = [];
    for (const text of ['udds+hwfet', 'udds & hwfet']) {
      await loadCycle(text).catch((error: unknown) => {
        if (!(error instanceof InputError)) throw error;
        problems.push(...error.problems);
      });
    }
    expect(problems.length).toBe(2);
    expect(problems[0]?.hint).toContain('`2*udds + hwfet`');
  });
});
