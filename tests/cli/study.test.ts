import { readFileSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { describe, expect, it } from 'vitest';
import { filesUnder, spinledger, temporaryFolder } from './program.ts';
import { powers, recordsIn, resultsIn, writeStudy } from './studies.ts';

/** Lines of a text. */
const linesOf = (text: string) => text.trimEnd().split('\n');

describe('a study on the command line', () => {
  it('gives each case what a run of its inputs gives, its hash with it', () => {
    const folder = temporaryFolder();
    const study = writeStudy(folder, { strategies: ['coast', 'recover'] });
    spinledger(0, ['study', study, '--out', join(folder, 'out'), '--format', 'none']);
    const parts = ['--store', 'rim-45', '--strategy', 'recover', '--cycle', 'nycc'];
    const run = spinledger(0, ['run', ...parts, '--format', 'json']).stdout;
    const { state, varied, ...summary } = recordsIn(join(folder, 'out'))[1];
    expect(summary).toEqual(JSON.parse(run));
    expect({ state, varied }).toEqual({ state: 'done', varied: {} });
  });

  it('names its inputs in its manifest, and its host and times in another file', () => {
    const folder = temporaryFolder();
    const study = writeStudy(folder, { vary: [powers(2)] });
    const out = join(folder, 'out');
    spinledger(0, ['study', study, '--out', out, '--format', 'none', '--jobs', '1']);
    expect(filesUnder(out)).toEqual([
      'journal.jsonl',
      'made.json',
      'manifest.json',
      'owner.json',
      'results.csv',
      'results.jsonl',
    ]);
    const manifest = JSON.parse(readFileSync(join(out, 'manifest.json'), 'utf8'));
    expect(manifest).toMatchObject({
      schema_version: 1,
      study: 'small',
      cases: 2,
      done: 2,
      failed: 0,
      varied: ['store.power_limit_kW'],
      cycle_shares: null,
      outputs: { logs: false, explain: false, bound: false },
      shard: null,
    });
    expect(
      manifest.inputs.map(({ kind, name }: Record<string, string>) => `${kind} ${name}`),
    ).toEqual(['car estate', 'store rim-45', 'strategy coast', 'cycle nycc']);
    const made = JSON.parse(readFileSync(join(out, 'made.json'), 'utf8'));
    expect(made).toMatchObject({ jobs: 1, cases_run: 2, cases_taken: 0, node: process.version });
  });

  it('prints what the user wants on standard output, and the rest beside it', () => {
    const folder = temporaryFolder();
    const study = writeStudy(folder, { vary: [powers(2)] });
    const out = join(folder, 'out');
    const run = (...args: string[]) => spinledger(0, ['study', study, '--out', out, ...args]);
    const table = run();
    expect(table.stdout).toMatch(/^small\n/);
    expect(table.stderr).toContain('2 cases run in');
    expect(table.stderr).toContain('no certified consumption values');
    expect(run('--format', 'csv').stdout).toBe(readFileSync(join(out, 'results.csv'), 'utf8'));
    const excel = run('--format', 'csv', '--columns', 'case_cycle,saving_vs*', '--decimal', ',');
    const [header, first] = linesOf(excel.stdout);
    expect(header).toBe('case_cycle;saving_vs_baseline_pct;saving_vs_stop_start_pct');
    expect(first).toMatch(/^nycc;\d+,\d+;\d+,\d+$/);
    const json = JSON.parse(run('--format', 'json').stdout);
    expect(json).toMatchObject(JSON.parse(readFileSync(join(out, 'manifest.json'), 'utf8')));
    expect(run('--format', 'markdown').stdout).toMatch(/^## small\n/);
    expect(run('--format', 'none').stdout).toBe('');
    // The options of the output change nothing in the folder.
    expect(linesOf(resultsIn(out)['results.csv']!)[0]).toContain(',');
  });

  it('does the same without a folder, and leaves nothing behind', () => {
    const folder = temporaryFolder();
    const study = writeStudy(folder, { outputs: { logs: true, explain: false } });
    const env = { TMPDIR: folder };
    const { stdout, stderr } = spinledger(0, ['study', study, '--format', 'csv'], { env });
    expect(linesOf(stdout)).toHaveLength(2);
    expect(stderr).not.toContain('results in');
    expect(filesUnder(folder)).toEqual(['study.json']);
  });

  it('prints a plan, runs nothing and writes nothing with --dry-run', () => {
    const folder = temporaryFolder();
    const study = writeStudy(folder, { vary: [powers(5)] });
    const args = ['study', study, '--dry-run', '--out', join(folder, 'out')];
    const { stdout, stderr } = spinledger(0, [...args, '--shard', '2/2']);
    expect(stdout).toContain('small: 5 cases');
    expect(stderr).toBe('Shard 2/2 has 2 of 5 cases.\n');
    expect(JSON.parse(spinledger(0, [...args, '--format', 'json']).stdout)).toMatchObject({
      study: 'small',
      cases: 5,
    });
    expect(filesUnder(folder)).toEqual(['study.json']);
  });

  it('ends with status 4 where a trace is not followed, with all results written', () => {
    const folder = temporaryFolder();
    const time = Array.from({ length: 61 }, (_, k) => k);
    const speed = time.map((t) => (t === 0 || t === 60 ? 0 : 180));
    const study = writeStudy(folder, {
      cycles: ['nycc', { name: 'leap', time_s: time, speed_kmh: speed }],
    });
    const out = join(folder, 'out');
    const args = ['study', study, '--out', out, '--format', 'none'];
    const { stderr } = spinledger(4, args);
    expect(stderr).toContain('the trace was not followed in 1 of 2 cases');
    expect(recordsIn(out)).toHaveLength(2);
    spinledger(0, [...args, '--tolerance', '100']);
  });

  it('refuses a study with its problems before anything is written', () => {
    const folder = temporaryFolder();
    const study = writeStudy(folder, { stores: ['rim-54'], cycles: ['nycc', 'uds'] });
    const out = join(folder, 'out');
    const { stderr, stdout } = spinledger(2, ['study', study, '--out', out]);
    expect(stderr).toContain('rim-54');
    expect(stderr).toContain('uds');
    expect(stdout).toBe('');
    writeFileSync(study, '{');
    spinledger(2, ['study', study, '--out', out]);
    expect(filesUnder(folder)).toEqual(['study.json']);
  });

  it.each<[string, string[], string]>([
    ['no study', [], 'no study is named'],
    ['an unknown example', ['sizes'], 'sizes'],
    ['a shard that is none', ['strategies', '--shard', '9/8'], 'k from 1 to n'],
    ['a shard of no job array', ['strategies', '--shard', 'auto'], 'SLURM_ARRAY_TASK_ID'],
    ['half a job', ['strategies', '--jobs', '1.5'], 'whole number'],
    ['no job', ['strategies', '--jobs', '0'], 'from 1 to'],
    ['an unknown column', ['strategies', '--format', 'csv', '--columns', 'fuel'], '--columns'],
    ['columns of a table', ['strategies', '--columns', 'case_car'], "add '--format csv'"],
    [
      'a comma too many',
      ['strategies', '--format', 'csv', '--delimiter', ',', '--decimal', ','],
      '--decimal',
    ],
    ['a plan as a table of cases', ['strategies', '--dry-run', '--format', 'csv'], '--dry-run'],
    ['a merge of nothing', ['--merge'], '--merge'],
    ['a merge to nowhere', ['--merge', 'a', 'b'], "needs '--out FOLDER'"],
    ['a merge with a study', ['strategies', '--out', 'c', '--merge', 'a'], 'no study beside them'],
    [
      'a merge that is a shard',
      ['--merge', 'a', '--out', 'c', '--shard', '1/2'],
      "'--shard' is about",
    ],
  ])('refuses %s with status 2', (_what, args, words) => {
    const folder = temporaryFolder();
    const { stderr, stdout } = spinledger(2, ['study', ...args], { cwd: folder });
    expect(stderr).toContain(words);
    expect(stdout).toBe('');
    expect(filesUnder(folder)).toEqual([]);
  });
});
