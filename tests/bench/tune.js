/**
 * npm run bench, or alone: npm run build, then node tests/bench/tune.js [--json]
 *
 * Measures `tune` as a whole process on the shipped example: four numbers of a strategy over four
 * cycles with the usual budget, one and two cases at a time. Time on a busy machine says little, so the
 * processor time of all threads stands beside it. No test depends on these figures.
 */
import { spawnSync } from 'node:child_process';
import { fileURLToPath } from 'node:url';
import { isMain, print } from './print.js';

const ROOT = fileURLToPath(new URL('../..', import.meta.url));
const CPU_TIME = fileURLToPath(new URL('./cpu-time.js', import.meta.url));

function measured(jobs) {
  const tune = ['bin/spinledger.js', 'tune', 'keep-off', '--format', 'json', '--jobs', `${jobs}`];
  const start = performance.now();
  const done = spawnSync(process.execPath, ['--import', CPU_TIME, ...tune], {
    cwd: ROOT,
    encoding: 'utf8',
  });
  const seconds = (performance.now() - start) / 1e3;
  if (done.status !== 0) throw new Error(`tune: status ${done.status}: ${done.stderr}`);
  const { search } = JSON.parse(done.stdout);
  const processor = Number(done.stderr.trimEnd().split('\n').at(-1)) / 1e3;
  return { seconds, processor, sets: search.different };
}

/** Figures of a tune, by their names. */
export function tuneFigures() {
  const one = measured(1);
  const two = measured(2);
  return {
    tune_4_numbers_4_cycles_s: round(two.seconds),
    tune_4_numbers_4_cycles_cpu_s: round(two.processor),
    tune_4_numbers_4_cycles_1_job_s: round(one.seconds),
    tune_4_numbers_4_cycles_1_job_cpu_s: round(one.processor),
    tune_sets_of_numbers: two.sets,
  };
}

function round(value) {
  return Number(value.toFixed(2));
}

if (isMain(import.meta.url)) print(tuneFigures());
