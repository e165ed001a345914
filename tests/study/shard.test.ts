import { describe, expect, it } from 'vitest';
import { InputError } from '../../src/config/problem.ts';
import { countOf, parseShard, shardOfSurroundings } from '../../src/study/shard.ts';

/** What a refusal says, in one text. */
function refusal(work: () => unknown): string {
  try {
    work();
  } catch (error) {
    if (error instanceof InputError) return JSON.stringify(error.problems);
    throw error;
  }
  throw new Error('nothing was refused');
}

describe('a shard as the user writes it', () => {
  it('is k/n with k from 1 to n', () => {
    expect(parseShard('3/8')).toEqual({ from: 'user', shard: { k: 3, n: 8 } });
    expect(parseShard('1/1')).toEqual({ from: 'user', shard: { k: 1, n: 1 } });
  });

  it('may be left to the surroundings, with or without its total', () => {
    expect(parseShard('auto')).toEqual({ from: 'surroundings', total: undefined });
    expect(parseShard('auto/8')).toEqual({ from: 'surroundings', total: 8 });
  });

  it.each([
    '',
    '3',
    '0/8',
    '9/8',
    '3/0',
    '-1/8',
    '1.5/8',
    '3/8/2',
    'auto/0',
    'auto/',
    ' 3/8',
    'a/b',
  ])('is not %j', (text) => {
    expect(parseShard(text)).toBeUndefined();
  });

  it('has the cases i with i mod n + 1 = k', () => {
    // Ten cases in four shards: 0 4 8, 1 5 9, 2 6, 3 7.
    expect([1, 2, 3, 4].map((k) => countOf({ k, n: 4 }, 10))).toEqual([3, 3, 2, 2]);
    expect(countOf({ k: 3, n: 8 }, 2)).toBe(0);
    expect(countOf({ k: 3, n: 8 }, 0)).toBe(0);
  });
});

describe('a shard as the surroundings tell it', () => {
  const slurm = (id: number, min: number, max: number, more = {}) => ({
    SLURM_ARRAY_TASK_ID: `${id}`,
    SLURM_ARRAY_TASK_MIN: `${min}`,
    SLURM_ARRAY_TASK_MAX: `${max}`,
    SLURM_ARRAY_TASK_COUNT: `${max - min + 1}`,
    ...more,
  });

  it('is counted from the first task of a Slurm array, whatever its number', () => {
    expect(shardOfSurroundings(slurm(0, 0, 7)).shard).toEqual({ k: 1, n: 8 });
    expect(shardOfSurroundings(slurm(12, 5, 12)).shard).toEqual({ k: 8, n: 8 });
    expect(shardOfSurroundings(slurm(12, 5, 12), 8).shard).toEqual({ k: 8, n: 8 });
    expect(shardOfSurroundings(slurm(12, 5, 12)).source).toContain('SLURM_ARRAY_TASK_ID=12');
  });

  it('is that of a CI with parallel jobs, whose index begins with 1', () => {
    const { shard } = shardOfSurroundings({ CI_NODE_INDEX: '2', CI_NODE_TOTAL: '3' });
    expect(shard).toEqual({ k: 2, n: 3 });
  });

  it('needs the total from the user on Kubernetes and with GNU parallel', () => {
    expect(shardOfSurroundings({ JOB_COMPLETION_INDEX: '0' }, 8).shard).toEqual({ k: 1, n: 8 });
    expect(shardOfSurroundings({ PARALLEL_SEQ: '8' }, 8).shard).toEqual({ k: 8, n: 8 });
    for (const variable of ['JOB_COMPLETION_INDEX', 'PARALLEL_SEQ']) {
      const said = refusal(() => shardOfSurroundings({ [variable]: '1' }));
      expect(said).toContain(`${variable}=1`);
      expect(said).toContain('--shard auto/8');
    }
  });

  it('is refused with every variable that there could be, where none is set', () => {
    const said = refusal(() => shardOfSurroundings({ CI_NODE_TOTAL: '1', PARALLEL_SEQ: '' }));
    for (const variable of [
      'SLURM_ARRAY_TASK_ID',
      'JOB_COMPLETION_INDEX',
      'PARALLEL_SEQ',
      'CI_NODE_INDEX',
    ]) {
      expect(said).toContain(variable);
    }
    expect(said).toContain('CI_NODE_INDEX (a CI with parallel jobs)');
  });

  it('is taken where two systems agree, and refused with both where they do not', () => {
    expect(shardOfSurroundings(slurm(3, 1, 8, { PARALLEL_SEQ: '3' }), 8).shard.k).toBe(3);
    const said = refusal(() => shardOfSurroundings(slurm(3, 1, 8, { PARALLEL_SEQ: '4' }), 8));
    expect(said).toContain('SLURM_ARRAY_TASK_ID=3');
    expect(said).toContain('PARALLEL_SEQ=4');
  });

  it.each([
    ['an array with a step', slurm(3, 1, 7, { SLURM_ARRAY_TASK_COUNT: '4' }), undefined],
    ['a task outside of its array', slurm(9, 1, 8), undefined],
    ['an array of another size than the user says', slurm(3, 3, 3), 8],
    ['a total that no variable tells', { SLURM_ARRAY_TASK_ID: '3' }, undefined],
    ['an index that is no number', { CI_NODE_INDEX: '1x', CI_NODE_TOTAL: '2' }, undefined],
    ['an index above the total', { CI_NODE_INDEX: '3', CI_NODE_TOTAL: '2' }, undefined],
    ['an index above the total of the user', { JOB_COMPLETION_INDEX: '8' }, 8],
    ['an index below the first', { PARALLEL_SEQ: '0' }, 8],
  ])('is refused for %s', (_what, environment, total) => {
    const said = refusal(() => shardOfSurroundings(environment, total));
    expect(said).toContain(Object.keys(environment)[0]!.slice(0, 8));
    expect(said).toMatch(/--shard/);
  });
});
