import { appendFileSync, existsSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { describe, expect, it } from 'vitest';
import { between, seeded } from '../seeded.ts';
import { filesUnder, shell, spinledger, temporaryFolder } from './program.ts';
import {
  finishedIn,
  powers,
  recordsIn,
  resultsIn,
  start,
  untilFinished,
  writeStudy,
} from './studies.ts';

const NO_PRINT = ['--format', 'none'];

/** Runs a study to its end in a folder that is not there yet. */
function whole(study: string, folder: string, ...more: string[]): Record<string, string> {
  spinledger(0, ['study', study, '--out', folder, ...NO_PRINT, ...more]);
  return resultsIn(folder);
}

describe('a study that is ended and started again', () => {
  it('ends with the same bytes after kills at any moment, and says what it took over', async () => {
    const folder = temporaryFolder();
    const study = writeStudy(folder, {
      vary: [powers(150)],
      outputs: { logs: true, explain: false },
    });
    const expected = whole(study, join(folder, 'once'));
    const random = seeded(5);
    const out = join(folder, 'killed');
    for (const least of [0, 1, 40, 90]) {
      const running = start(['study', study, '--out', out, ...NO_PRINT]);
      await untilFinished(running, out, least);
      await new Promise((resolve) => setTimeout(resolve, between(random, 0, 50)));
      running.process.kill('SIGKILL');
      await running.end;
    }
    const before = finishedIn(out);
    expect(before).toBeGreaterThanOrEqual(90);
    const { stderr } = spinledger(0, ['study', study, '--out', out, ...NO_PRINT]);
    if (before < 150) {
      expect(stderr).toMatch(/\d+ cases finished before and kept in .*; \d+ of 150 cases are left/);
    }
    expect(resultsIn(out)).toEqual(expected);
    expect(filesUnder(out).filter((name) => /\.tmp$|^\.lock/.test(name))).toEqual([]);
  });

  it.each([
    ['SIGINT', 130],
    ['SIGTERM', 143],
  ] as const)('keeps what is finished at %s, and ends with status %i', async (signal, status) => {
    const folder = temporaryFolder();
    const study = writeStudy(folder, { vary: [powers(2000)] });
    const out = join(folder, 'out');
    const running = start(['study', study, '--out', out, ...NO_PRINT]);
    await untilFinished(running, out, 1);
    running.process.kill(signal);
    const end = await running.end;
    expect(end).toMatchObject({ status, signal: null });
    const kept = Number(/interrupted: (\d+) of 2000 cases are finished/.exec(end.stderr)?.[1]);
    expect(kept).toBeGreaterThan(0);
    expect(finishedIn(out)).toBeGreaterThanOrEqual(kept);
    expect(end.stderr).toContain('the same command goes on with the others');
    expect(filesUnder(out)).toEqual(['journal.jsonl', 'owner.json']);
    const other = writeStudy(folder, { name: 'other' }, 'other.json');
    const refused = spinledger(2, ['study', other, '--out', out, ...NO_PRINT]).stderr;
    expect(refused).toContain('found the folder of the study small');
    expect(filesUnder(out)).toEqual(['journal.jsonl', 'owner.json']);
  });

  it('runs only the cases that a study got since, and those without the log that it wants now', () => {
    const folder = temporaryFolder();
    const out = join(folder, 'out');
    whole(writeStudy(folder, { vary: [{ path: 'store.power_limit_kW', list: [10, 30] }] }), out);
    const wider = { vary: [{ path: 'store.power_limit_kW', list: [10, 20, 30] }] };
    const more = spinledger(0, ['study', writeStudy(folder, wider), '--out', out, ...NO_PRINT]);
    expect(more.stderr).toContain('2 cases finished before');
    expect(more.stderr).toContain('small has changed since its results in');
    expect(recordsIn(out).map(({ varied }) => varied)).toEqual(
      [10, 20, 30].map((value) => ({ 'store.power_limit_kW': value })),
    );
    const logged = writeStudy(folder, { ...wider, outputs: { logs: true, explain: true } });
    const last = spinledger(0, ['study', logged, '--out', out, ...NO_PRINT]);
    expect(last.stderr).not.toContain('finished before');
    expect(resultsIn(out)).toEqual(whole(logged, join(folder, 'once')));
    const nothing = spinledger(0, ['study', logged, '--out', out, ...NO_PRINT]);
    expect(nothing.stderr).toContain('0 of 3 cases are left to run');
    expect(nothing.stderr).not.toContain('has changed');
    expect(resultsIn(out)).toEqual(resultsIn(join(folder, 'once')));
  });

  it('keeps its results when there is nothing to run and they cannot be written again', () => {
    const folder = temporaryFolder();
    const study = writeStudy(folder, { vary: [powers(3)] });
    const out = join(folder, 'out');
    const expected = whole(study, out);
    const { status, stderr } = shell(
      `ulimit -f 1; spinledger study "${study}" --out "${out}" --format none`,
    );
    expect(stderr).toContain('0 of 3 cases are left to run');
    expect(stderr).toContain('a file that would be larger than');
    expect(status).toBe(2);
    expect(resultsIn(out)).toEqual(expected);
  });

  it('runs a case again whose line is torn', () => {
    const folder = temporaryFolder();
    const study = writeStudy(folder, { vary: [powers(3)] });
    const out = join(folder, 'out');
    const expected = whole(study, out);
    const journal = join(out, 'journal.jsonl');
    writeFileSync(journal, readFileSync(journal, 'utf8').slice(0, -100));
    const { stderr } = spinledger(0, ['study', study, '--out', out, ...NO_PRINT]);
    expect(stderr).toContain('1 of 3 cases are left to run');
    expect(resultsIn(out)).toEqual(expected);
  });

  it('says that lines are damaged until their cases have been run again', () => {
    const folder = temporaryFolder();
    const study = writeStudy(folder, { vary: [powers(2)] });
    const out = join(folder, 'out');
    const expected = whole(study, out);
    const journal = join(out, 'journal.jsonl');
    const text = readFileSync(journal, 'utf8');
    writeFileSync(journal, text.replace('"fuel"', '"feul"'));
    const run = () => spinledger(0, ['study', study, '--out', out, ...NO_PRINT]).stderr;
    const first = run();
    expect(first).toContain('1 line damaged');
    expect(first).toContain('1 of 2 cases are left to run');
    expect(run()).not.toContain('damaged');
    expect(resultsIn(out)).toEqual(expected);
  });

  it('does not mix results of two versions, and says what to do', () => {
    const folder = temporaryFolder();
    const study = writeStudy(folder, {});
    const out = join(folder, 'out');
    const before = whole(study, out);
    const journal = join(out, 'journal.jsonl');
    const text = readFileSync(journal, 'utf8');
    writeFileSync(journal, text.replace(/"tool":"spinledger [^"]*"/, '"tool":"spinledger 0.0.1"'));
    const { stderr } = spinledger(2, ['study', study, '--out', out, ...NO_PRINT]);
    expect(stderr).toContain('found results of spinledger 0.0.1');
    expect(stderr).toContain('hint: write elsewhere with `--out FOLDER`');
    expect(resultsIn(out)).toEqual(before);
  });
});

describe('the folder of a study', () => {
  it('lets in one process at a time', async () => {
    const folder = temporaryFolder();
    const study = writeStudy(folder, { vary: [powers(3000)] });
    const out = join(folder, 'out');
    const running = start(['study', study, '--out', out, ...NO_PRINT]);
    await untilFinished(running, out, 1);
    const { stderr } = spinledger(2, ['study', study, '--out', out, ...NO_PRINT]);
    expect(stderr).toContain(`found process ${running.process.pid} on`);
    running.process.kill('SIGINT');
    await running.end;
    expect(existsSync(join(out, '.lock'))).toBe(false);
  });

  it('ends a study soon when it is deleted', async () => {
    const folder = temporaryFolder();
    const study = writeStudy(folder, { vary: [powers(3000)] });
    const out = join(folder, 'out');
    const running = start(['study', study, '--out', out, ...NO_PRINT]);
    await untilFinished(running, out, 1);
    rmSync(out, { recursive: true });
    const { status, stderr } = await running.end;
    expect(status).toBe(2);
    expect(stderr).toContain('its folder was deleted, moved or emptied meanwhile');
    expect(existsSync(out)).toBe(false);
  });

  it('is refused where it holds other things, which stay as they are', () => {
    const folder = temporaryFolder();
    const study = writeStudy(folder, {});
    const { stderr } = spinledger(2, ['study', study, '--out', folder, ...NO_PRINT]);
    expect(stderr).toContain('a folder with other things in it: study.json');
    expect(filesUnder(folder)).toEqual(['study.json']);
  });

  it.each([
    ['a file', (folder: string) => join(folder, 'study.json'), 'found a file'],
    ['within a file', (folder: string) => join(folder, 'study.json', 'out'), 'which is no folder'],
    ['a place that cannot be written', () => '/proc/none', 'lets nothing be made, expected'],
    ['called too long', (folder: string) => join(folder, 'x'.repeat(300)), 'a name that is longer'],
    ['without a name', () => '', 'found an empty name'],
  ])('is refused before the first case where it is %s', (_what, out, words) => {
    const folder = temporaryFolder();
    const study = writeStudy(folder, {});
    const { stderr } = spinledger(2, ['study', study, '--out', out(folder), ...NO_PRINT]);
    expect(stderr).toContain(words);
    expect(stderr).not.toContain('cases run');
  });

  it('is told to be missing where there is no folder for what is not kept', () => {
    const folder = temporaryFolder();
    const env = { TMPDIR: join(folder, 'none') };
    const { stderr } = spinledger(2, ['study', writeStudy(folder, {}), ...NO_PRINT], { env });
    expect(stderr).toContain(`temporary folder ${env.TMPDIR}: found no folder`);
    expect(stderr).toContain('hint: set TMPDIR to a folder');
  });

  it('is refused where results would take the place of an input', () => {
    const folder = temporaryFolder();
    const out = join(folder, 'out');
    whole(writeStudy(folder, {}), out);
    writeFileSync(join(out, 'results.csv'), 'store.power_limit_kW\n10\n20\n');
    const study = writeStudy(folder, { vary: [{ pairs: 'out/results.csv' }] });
    const { stderr } = spinledger(2, ['study', study, '--out', out, ...NO_PRINT]);
    expect(stderr).toContain('results.csv` is one of its inputs');
    expect(readFileSync(join(out, 'results.csv'), 'utf8')).toMatch(/^store/);
  });

  it('is refused where it holds results of another study, which stay as they are', () => {
    const folder = temporaryFolder();
    const out = join(folder, 'out');
    const before = whole(writeStudy(folder, {}), out);
    const other = writeStudy(folder, { name: 'other', outputs: { logs: true } });
    const { stderr } = spinledger(2, ['study', other, '--out', out, ...NO_PRINT]);
    expect(stderr).toContain('found the folder of the study small');
    expect(resultsIn(out)).toEqual(before);
    expect(existsSync(join(out, 'logs'))).toBe(false);
  });

  it('keeps what else lies beside results', () => {
    const folder = temporaryFolder();
    const study = writeStudy(folder, {});
    const out = join(folder, 'out');
    whole(study, out);
    appendFileSync(join(out, 'notes.txt'), 'mine');
    spinledger(0, ['study', study, '--out', out, ...NO_PRINT]);
    expect(readFileSync(join(out, 'notes.txt'), 'utf8')).toBe('mine');
  });
});
