import { rmSync } from 'node:fs';
import { join } from 'node:path';
import { describe, expect, it } from 'vitest';
import { spinledger, temporaryFolder } from './program.ts';
import { powers, resultsIn, writeStudy } from './studies.ts';

const NO_PRINT = ['--format', 'none'];

/** Runs a study in shards and returns their folders. */
function runShards(study: string, folder: string, n: number): string[] {
  return Array.from({ length: n }, (_, i) => {
    const out = join(folder, `shard-${i + 1}`);
    spinledger(0, ['study', study, '--shard', `${i + 1}/${n}`, '--out', out, ...NO_PRINT]);
    return out;
  });
}

describe('a study', () => {
  it('gives the same bytes with one job, with two, and in three shards that are merged', () => {
    const folder = temporaryFolder();
    const study = writeStudy(folder, {
      strategies: ['coast', 'recover'],
      cycles: ['nycc', 'udds'],
      vary: [powers(2)],
      cycle_shares: { nycc: 1, udds: 3 },
      outputs: { logs: true, explain: true },
    });
    const run = (out: string, jobs: string) => {
      const args = ['study', study, '--jobs', jobs, '--out', join(folder, out)];
      return spinledger(0, [...args, '--format', 'markdown']).stdout;
    };
    const printed = run('one', '1');
    const expected = resultsIn(join(folder, 'one'));
    expect(Object.keys(expected).filter((name) => name.startsWith('logs'))).toHaveLength(8);
    expect(run('two', '2')).toBe(printed);
    expect(resultsIn(join(folder, 'two'))).toEqual(expected);

    const all = join(folder, 'all');
    const merge = ['study', '--merge', ...runShards(study, folder, 3).reverse(), '--out', all];
    expect(spinledger(0, [...merge, '--format', 'markdown']).stdout).toBe(printed);
    expect(resultsIn(all)).toEqual(expected);
    // A merge can be done again, and a rerun of the whole study goes on from it.
    spinledger(0, [...merge, ...NO_PRINT]);
    const rerun = spinledger(0, ['study', study, '--out', all, ...NO_PRINT]);
    expect(rerun.stderr).toContain('0 of 8 cases are left to run');
    expect(resultsIn(all)).toEqual(expected);
  });

  it('can have more shards than cases', () => {
    const folder = temporaryFolder();
    const study = writeStudy(folder, { vary: [powers(2)] });
    spinledger(0, ['study', study, '--out', join(folder, 'one'), ...NO_PRINT]);
    const shards = runShards(study, folder, 3);
    spinledger(0, ['study', '--merge', ...shards, '--out', join(folder, 'all'), ...NO_PRINT]);
    expect(resultsIn(join(folder, 'all'))).toEqual(resultsIn(join(folder, 'one')));
  });

  it('takes its shard from a job array, and says so', () => {
    const folder = temporaryFolder();
    const study = writeStudy(folder, { vary: [powers(5)] });
    const run = (env: Record<string, string>, shard = 'auto') =>
      spinledger(0, ['study', study, '--shard', shard, '--format', 'none'], { env }).stderr;
    const slurm = {
      SLURM_ARRAY_TASK_ID: '4',
      SLURM_ARRAY_TASK_MIN: '3',
      SLURM_ARRAY_TASK_MAX: '4',
      SLURM_ARRAY_TASK_COUNT: '2',
    };
    expect(run(slurm)).toMatch(/Shard 2\/2, by SLURM_ARRAY_TASK_ID=4, .*\n2 cases run/);
    expect(run({ JOB_COMPLETION_INDEX: '0' }, 'auto/2')).toMatch(/Shard 1\/2, .*\n3 cases run/);
  });

  it('is no whole without one of its shards, nor with an unfinished one', () => {
    const folder = temporaryFolder();
    const study = writeStudy(folder, { vary: [powers(4)] });
    const shards = runShards(study, folder, 2);
    const out = join(folder, 'all');
    const merge = (...folders: string[]) =>
      spinledger(2, ['study', '--merge', ...folders, '--out', out, ...NO_PRINT]).stderr;
    expect(merge(shards[1]!)).toContain('found no shard 1/2');
    expect(merge(...shards, shards[0]!)).toContain('the same folder as');
    rmSync(join(shards[0]!, 'manifest.json'));
    expect(merge(...shards)).toContain('found a study that has not ended');
    expect(merge(...shards, join(folder, 'none'))).toContain('found no such folder');
    const own = spinledger(2, ['study', '--merge', ...shards, '--out', shards[1]!, ...NO_PRINT]);
    expect(own.stderr).toContain('which is merged');
  });
});
