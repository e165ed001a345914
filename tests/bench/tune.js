/**
 * node tests/bench/tune.js [--json]
 *
 * Measures `tune` as a whole process on the shipped example: four numbers of a strategy over four
 * cycles with the usual budget. Time on a busy machine says little, so the processor time of all
 * threads stands beside it. No test depends on these figures.
 */
import { spawnSync } from 'node:child_process';
import { fileURLToPath } from 'node:url';

const ROOT = fileURLToPath(new URL('../..', import.meta.url));
const CPU_TIME = fileURLToPath(new URL('./cpu-time.js', import.meta.url));

function measured(jobs) {
  const tune = ['bin/spinledger.js', 'tune', 'keep-off', '--format', 'json', '--jobs', `${jobs}`];
  const start = performance.now();
  const done = spawnSync(process.execPath, ['--import', CPU_TIME, ...tune], {
    cwd: ROOT,
    encoding: 'utf8',
  });
  const elapsed = performance.now() - start;
  if (done.status !== 0) throw new Error(`tune: status ${done.status}: ${done.stderr}`);
  const { search, cycles } = JSON.parse(done.stdout);
  return {
    sets: search.different,
    cases: search.different * cycles.filter(({ held_back }) => !held_back).length,
    seconds: Number((elapsed / 1e3).toFixed(1)),
    processor_seconds: Number(done.stderr.trimEnd().split('\n').at(-1)) / 1e3,
  };
}

const result = { one_at_a_time: measured(1), two_at_a_time: measured(2) };
if (process.argv.includes('--json')) {
  process.stdout.write(`${JSON.stringify(result, null, 2)}\n`);
} else {
  for (const [name, figures] of Object.entries(result)) {
    const words = Object.entries(figures).map(([key, value]) => `${key} ${value}`);
    process.stdout.write(`${name.padEnd(16)} ${words.join('  ')}\n`);
  }
}
