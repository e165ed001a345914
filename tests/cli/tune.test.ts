import { readFileSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { describe, expect, it } from 'vitest';
import { between, seeded } from '../seeded.ts';
import { filesUnder, shell, spinledger, temporaryFolder } from './program.ts';
import { finishedIn, resultsIn, start, untilFinished, writeStudy } from './studies.ts';

const NO_PRINT = ['--format', 'none'];

/** A tune of the shipped estate in New York traffic, quick. */
const SMALL = {
  name: 'small',
  car: 'estate',
  store: 'rim-60',
  strategy: 'keep-off',
  cycles: ['nycc'],
  held_back: ['japan-10-15'],
  vary: [
    { path: 'strategy.keep_off.stop_above_pct', from: 5, to: 80 },
    { path: 'strategy.keep_off.max_power_kW', from: 5, to: 40 },
  ],
  budget: { evaluations: 30 },
};

function writeTune(folder: string, tune: object = {}): string {
  const path = join(folder, 'tune.json');
  writeFileSync(path, JSON.stringify({ ...SMALL, ...tune }));
  return path;
}

describe('a tune on the command line', () => {
  it('ends with the same bytes, one at a time, two at a time, and after kills at any moment', async () => {
    const folder = temporaryFolder();
    const tune = writeTune(folder, { budget: { evaluations: 120 } });
    const run = (name: string, ...more: string[]) => {
      const out = join(folder, name);
      const { stderr } = spinledger(0, ['tune', tune, '--out', out, ...NO_PRINT, ...more]);
      return { results: resultsIn(out), stderr };
    };
    const { results } = run('one', '--jobs', '1');
    expect(Object.keys(results)).toEqual([
      'evaluations.csv',
      'owner.json',
      'report.json',
      'tuned-strategy.json',
    ]);
    expect(run('two', '--jobs', '2').results).toEqual(results);
    const random = seeded(5);
    const out = join(folder, 'killed');
    for (const least of [0, 5, 40]) {
      const running = start(['tune', tune, '--out', out, ...NO_PRINT]);
      await untilFinished(running, out, least);
      await new Promise((resolve) => setTimeout(resolve, between(random, 0, 50)));
      running.process.kill('SIGKILL');
      await running.end;
    }
    expect(finishedIn(out)).toBeGreaterThanOrEqual(40);
    const resumed = run('killed');
    expect(resumed.results).toEqual(results);
    expect(resumed.stderr).toContain('others taken from before');
    expect(run('killed').stderr).toContain('; 0 cases run in');
    expect(filesUnder(out).filter((name) => /\.tmp$|^\.lock/.test(name))).toEqual([]);
  });

  it('keeps what is finished when it is interrupted', async () => {
    const folder = temporaryFolder();
    const tune = writeTune(folder, { budget: { evaluations: 5000 } });
    const out = join(folder, 'out');
    const running = start(['tune', tune, '--out', out, ...NO_PRINT]);
    await untilFinished(running, out, 3);
    running.process.kill('SIGINT');
    const { status, stderr } = await running.end;
    expect(status).toBe(130);
    expect(stderr).toContain('interrupted: what is finished is kept in');
    expect(filesUnder(out)).toEqual(['journal.jsonl', 'owner.json']);
  });

  it('writes a file that a run takes, with the fuel that the tune says', () => {
    const folder = temporaryFolder();
    const tuned = join(folder, 'better.json');
    const tune = writeTune(folder);
    const out = join(folder, 'out');
    const args = ['tune', tune, '--out', out, '--write', tuned, '--format', 'json'];
    const { stdout, stderr } = spinledger(0, args);
    expect(stderr).toContain(`; results in ${out}; tuned file ${tuned}\n`);
    const report = JSON.parse(stdout);
    expect(report.objective.gain).toBeGreaterThan(0);
    for (const { cycle, after } of report.cycles) {
      const args = ['--store', 'rim-60', '--strategy', tuned, '--cycle', cycle];
      const run = JSON.parse(spinledger(0, ['run', ...args, '--format', 'json']).stdout);
      expect(run.fuel.store_L_per_100km).toBe(after.fuel_store_L_per_100km);
      expect(run.saving.vs_stop_start_pct).toBe(after.saving_vs_stop_start_pct);
    }
  });

  it('prints itself as a table, as CSV in the signs of a spreadsheet, and as Markdown', () => {
    const folder = temporaryFolder();
    const args = ['tune', writeTune(folder), '--out', join(folder, 'out')];
    const table = spinledger(0, args);
    expect(table.stdout).toMatch(/^small\nCar estate, store rim-60, strategy keep-off\.\n/);
    expect(table.stdout).toContain('Held-back cycles');
    expect(table.stderr).toContain('estimates for engineering study');
    const csv = spinledger(0, [...args, '--format', 'csv', '--decimal', ',']).stdout;
    expect(csv).toMatch(/^tune;numbers;cycles;cycle;share;.+;holds_constraints\r?\n/);
    expect(csv).toMatch(/^.+;before;tuned;[^;]+;\d/m);
    expect(spinledger(0, [...args, '--format', 'markdown']).stdout).toMatch(/^## small\n/);
    const lines = readFileSync(join(folder, 'out/evaluations.csv'), 'utf8').trimEnd().split('\n');
    expect(lines[0]!.trimEnd()).toBe(
      'set,state,strategy.keep_off.stop_above_pct,strategy.keep_off.max_power_kW,saving_vs_stop_start_pct',
    );
    expect(lines[1]).toMatch(/^1,held,15,20,/);
  });

  it('writes no tuned file, and ends with status 3, where no numbers hold the constraints', () => {
    const folder = temporaryFolder();
    const out = join(folder, 'out');
    const limit = { name: 'no starts', figure: 'counts_engine_starts', at_most: 0 };
    const args = [writeTune(folder, { constraints: [limit] }), '--out', out];
    const written = join(folder, 'better.json');
    writeFileSync(written, 'of another tune');
    const { stdout, stderr } = spinledger(3, ['tune', ...args, '--write', written]);
    expect(stdout).toContain(
      'Nothing was found: no set of numbers that was tried holds all constraints',
    );
    expect(stdout).not.toContain('better');
    expect(stderr).toMatch(/\n {2}"no starts" \(≤ 0\) is missed by \d\.\d\d: \d\.\d\d on nycc\.\n/);
    expect(stderr).not.toContain('; tuned file');
    expect(stderr).toContain(`no tuned file, and ${written} is left as it was;`);
    expect(readFileSync(written, 'utf8')).toBe('of another tune');
    expect(filesUnder(out)).toEqual([
      'evaluations.csv',
      'journal.jsonl',
      'made.json',
      'owner.json',
      'report.json',
    ]);
  });

  it('says that the budget left no room for a search, where the numbers of the files do not do', () => {
    const constraints = [{ name: 'no starts', figure: 'counts_engine_starts', at_most: 0 }];
    const tune = writeTune(temporaryFolder(), { constraints, budget: { evaluations: 1 } });
    const { stderr } = spinledger(3, ['tune', tune]);
    expect(stderr).toMatch(
      /the numbers of the files do not hold all constraints, and the budget of 1 set of numbers has no room for others, so there is no tuned file:\n {2}"no starts"/,
    );
    expect(stderr).not.toContain('within the bounds');
  });

  it('leaves the folder of a study alone, and does not let one into its own', () => {
    const folder = temporaryFolder();
    const [studied, tuned] = [join(folder, 'studied'), join(folder, 'tuned')];
    const study = writeStudy(folder, {});
    const budget = { evaluations: 4 };
    const tune = writeTune(folder, { budget });
    spinledger(0, ['study', study, '--out', studied, ...NO_PRINT]);
    spinledger(0, ['tune', tune, '--out', tuned, ...NO_PRINT]);
    const other = writeTune(temporaryFolder(), { name: 'other', budget });
    const before = [resultsIn(studied), resultsIn(tuned)];
    for (const [args, owner] of [
      [['tune', tune, '--out', studied], 'study small'],
      [['study', study, '--out', tuned], 'tune small'],
      [['tune', other, '--out', tuned], 'tune small'],
    ] as const) {
      const { stderr } = spinledger(2, [...args, ...NO_PRINT]);
      expect(stderr).toContain(`found the folder of the ${owner}, expected`);
    }
    expect([resultsIn(studied), resultsIn(tuned)]).toEqual(before);
  });

  it('tells what is wrong before it runs anything', () => {
    const folder = temporaryFolder();
    const tune = writeTune(folder);
    const wrong = writeTune(temporaryFolder(), { vary: [{ ...SMALL.vary[0], to: 120 }] });
    const two = writeTune(temporaryFolder(), {
      vary: [...SMALL.vary, { path: 'store.power_limit_kW', from: 10, to: 60 }],
    });
    const cases: readonly (readonly [readonly string[], string])[] = [
      [[wrong], 'found the bound 120, expected a bound within what the strategy file takes'],
      [['keep-of'], 'did you mean `keep-off`?'],
      [[tune, '--write', folder], 'a folder'],
      [[tune, '--write', ''], '--write: found no name'],
      [[tune, '--write', join(folder, 'none/x.json')], 'no folder'],
      [[tune, '--write', tune], 'which is an input'],
      [[two, '--write', join(folder, 'x.json')], 'numbers of strategy and store are tuned'],
      [[tune, '--decimal', ','], "add '--format csv'"],
      [[tune, '--out', folder], 'a folder with other things in it'],
      [[tune, '--jobs', '0'], 'Expected a number from 1'],
    ];
    for (const [args, words] of cases) {
      const { stdout, stderr } = spinledger(2, ['tune', ...args]);
      expect(stderr).toContain(words);
      expect(stdout).toBe('');
    }
    expect(filesUnder(folder)).toEqual(['tune.json']);
  });

  it('has an example in its help that runs as printed', () => {
    const help = spinledger(0, ['tune', '--help']).stdout;
    const lines = [...help.matchAll(/^ {2}npx (spinledger .*)$/gm)].map(([, line]) => line!);
    expect(lines).toHaveLength(2);
    const done = shell(lines.join(' && '), { cwd: temporaryFolder() });
    expect(done.status, done.stderr).toBe(0);
    expect(done.stdout).toMatch(/^reserve\n[\s\S]*estate with rim-60, strategy reserve, on udds/);
  });
});
